#include "table.h"

#include <algorithm>
#include <array>

namespace saywhy {

namespace {

using Words = std::array<std::uint64_t, (kTableLimit + 63) / 64>;

// Keeps of the fillings alive those that are (or, flipped, are not) in one of so many sets, word by word in one
// pass: what is gathered never goes to memory and back.
template <int Sets>
void keep(Words& alive, int from, int to, const std::uint64_t* const* sets, std::uint64_t flip) {
    const std::uint64_t *a = sets[0], *b = sets[Sets > 1], *c = sets[Sets > 2 ? 2 : 0], *d = sets[Sets > 3 ? 3 : 0];
    for (int w = from; w < to; ++w) {
        std::uint64_t joined = a[w];
        if constexpr (Sets > 1) joined |= b[w];
        if constexpr (Sets > 2) joined |= c[w];
        if constexpr (Sets > 3) joined |= d[w];
        alive[w] &= joined ^ flip;
    }
}

}  // namespace

Table::Table(int n, const Tuples& fillings)
    : n_(n), arity_(fillings.arity), words_(static_cast<int>((fillings.count() + 63) / 64)) {
    occurring_.assign(arity_, 0);
    supports_.assign(static_cast<std::size_t>(arity_) * n_ * words_, 0);
    const std::size_t count = fillings.count();
    // Narrowing may leave bits behind the last filling; they stand for fillings of nothing.
    if (arity_ * n_ <= 64) packed_.assign(static_cast<std::size_t>(words_) * 64, 0);
    for (std::size_t t = 0; t < count; ++t) {
        for (int place = 0; place < arity_; ++place) {
            const int digit = fillings.digits[t * arity_ + place];
            if (!packed_.empty()) packed_[t] |= std::uint64_t{1} << (place * n_ + digit);
            occurring_[place] |= static_cast<Mask>(1u << digit);
            supports_[(static_cast<std::size_t>(place) * n_ + digit) * words_ + t / 64] |= std::uint64_t{1} << (t % 64);
        }
    }
    for (int digit = 0; digit < n_ && arity_ > 0; ++digit) {
        const std::uint64_t* bits = support(0, digit);
        first_[digit] = static_cast<std::uint8_t>(std::find_if(bits, bits + words_, std::identity{}) - bits);
        last_[digit] = static_cast<std::uint8_t>(words_);
        while (last_[digit] > first_[digit] && bits[last_[digit] - 1] == 0) --last_[digit];
    }
}

bool Table::filter(Mask* domains) const {
    if (words_ == 0) return false;
    const Mask start = domains[0] & occurring_[0];
    if (start == 0) return false;
    // Listed in order of the first digit, rising or falling: the ends of the range are with the outer digits.
    const int low = lowest(start), high = std::bit_width(unsigned{start}) - 1;
    int from = std::min(first_[low], first_[high]), to = std::max(last_[low], last_[high]);
    Words alive;
    for (int w = from; w < to; ++w) alive[w] = ~std::uint64_t{0};
    bool narrowed = false;
    for (int place = 0; place < arity_; ++place) {
        const Mask held = domains[place] & occurring_[place];
        if (held == occurring_[place]) continue;
        if (held == 0) return false;
        narrowed = true;
        const Mask gone = occurring_[place] & static_cast<Mask>(~held);
        // Gather the fewer of the digits that stay and those that left.
        const bool few_gone = size_of(gone) < size_of(held);
        const std::uint64_t flip = few_gone ? ~std::uint64_t{0} : 0;
        std::array<const std::uint64_t*, kMostDigits> sets;
        int count = 0;
        for (unsigned left = few_gone ? gone : held; left; left &= left - 1) sets[count++] = support(place, lowest(left));
        switch (count) {
            case 1: keep<1>(alive, from, to, sets.data(), flip); break;
            case 2: keep<2>(alive, from, to, sets.data(), flip); break;
            case 3: keep<3>(alive, from, to, sets.data(), flip); break;
            case 4: keep<4>(alive, from, to, sets.data(), flip); break;
            default:
                for (int w = from; w < to; ++w) {
                    std::uint64_t joined = 0;
                    for (int s = 0; s < count; ++s) joined |= sets[s][w];
                    alive[w] &= joined ^ flip;
                }
        }
        while (from < to && alive[from] == 0) ++from;
        while (from < to && alive[to - 1] == 0) --to;
        if (from == to) return false;
    }
    if (!narrowed) {
        for (int place = 0; place < arity_; ++place) domains[place] &= occurring_[place];
        return true;
    }
    // The first few fillings left usually support nearly everything; only what they leave is looked up.
    std::uint64_t shown = 0;
    if (!packed_.empty()) {
        int enough = 32;
        for (int w = from; w < to && enough > 0; ++w) {
            for (std::uint64_t bits = alive[w]; bits && enough > 0; bits &= bits - 1, --enough) {
                shown |= packed_[w * 64 + std::countr_zero(bits)];
            }
        }
    }
    for (int place = 0; place < arity_; ++place) {
        Mask kept = static_cast<Mask>(shown >> (place * n_ & 63)) & full_mask(n_);
        for (unsigned left = domains[place] & occurring_[place] & static_cast<Mask>(~kept); left; left &= left - 1) {
            const int digit = lowest(left);
            const std::uint64_t* bits = support(place, digit);
            for (int w = from; w < to; ++w) {
                if (bits[w] & alive[w]) {
                    kept |= static_cast<Mask>(1u << digit);
                    break;
                }
            }
        }
        if (kept == 0) return false;
        domains[place] = kept;
    }
    return true;
}

}  // namespace saywhy
