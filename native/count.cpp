#include "count.h"

#include <array>
#include <bitset>

namespace saywhy {

Count::Count(int n, int arity) : n_(n), arity_(arity) {}

bool Count::filter(Mask* domains) const {
    using Sums = std::bitset<kMostCells + 1>;
    Mask used = 0;  // digits that must occur, as far as known
    for (;;) {
        std::array<int, kMostDigits> placed{}, open{};
        for (int i = 0; i < arity_; ++i) {
            if (domains[i] == 0) return false;
            for (unsigned left = domains[i]; left; left &= left - 1) ++open[lowest(left)];
            if (is_single(domains[i])) ++placed[lowest(domains[i])];
        }
        Mask barred = 0;
        for (int d = 0; d < n_; ++d) {
            const auto bit = static_cast<Mask>(1u << d);
            if (placed[d]) used |= bit;
            if (placed[d] > d + 1 || open[d] < d + 1) barred |= bit;
        }
        if (used & barred) return false;
        // after[d]: the sums that digits d and above can make, those barred left out and those used put in.
        std::array<Sums, kMostDigits + 1> after;
        after[n_][0] = true;
        for (int d = n_ - 1; d >= 0; --d) {
            if (!(used >> d & 1)) after[d] = after[d + 1];
            if (!(barred >> d & 1)) after[d] |= after[d + 1] << (d + 1);
        }
        if (arity_ > kMostCells || !after[0][arity_]) return false;
        Sums before;
        before[0] = true;
        Mask needed = 0;
        for (int d = 0; d < n_; ++d) {
            bool with = false, without = false;
            for (int s = 0; s <= arity_; ++s) {
                if (!before[s]) continue;
                without |= after[d + 1][arity_ - s];
                with |= s + d + 1 <= arity_ && after[d + 1][arity_ - s - d - 1];
            }
            const auto bit = static_cast<Mask>(1u << d);
            with = with && !(barred & bit);
            without = without && !(used & bit);
            if (!with && !without) return false;
            if (!with) barred |= bit;
            if (!without) needed |= bit;
            Sums next;
            if (without) next = before;
            if (with) next |= before << (d + 1);
            before = next;
        }
        bool changed = (needed & ~used) != 0;
        used |= needed;
        for (int d = 0; d < n_; ++d) {
            const auto bit = static_cast<Mask>(1u << d);
            const bool shut = barred & bit, full = placed[d] == d + 1;
            const bool forced = (used & bit) && open[d] == d + 1;
            for (int i = 0; i < arity_; ++i) {
                if (!(domains[i] & bit) || domains[i] == bit) {
                    if (shut && domains[i] == bit) return false;
                    continue;
                }
                if (shut || full) {
                    domains[i] &= static_cast<Mask>(~bit);
                    changed = true;
                } else if (forced) {
                    domains[i] = bit;
                    changed = true;
                }
            }
        }
        if (!changed) return true;
    }
}

}  // namespace saywhy
