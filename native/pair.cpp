#include "pair.h"

#include <algorithm>

namespace saywhy {

Pair::Pair(int n, const std::vector<Mask>& allowed, bool differ) {
    std::array<Mask, kMostDigits> onto{}, back{};
    for (int x = 0; x < n; ++x) {
        onto[x] = allowed[x] & full_mask(n);
        if (differ) onto[x] &= static_cast<Mask>(~(1u << x));
        for (unsigned left = onto[x]; left; left &= left - 1) back[lowest(left)] |= static_cast<Mask>(1u << x);
    }
    for (int half = 0; half < 2; ++half) {
        for (unsigned set = 1; set < 1u << std::clamp(n - 8 * half, 0, 8); ++set) {
            const int digit = half * 8 + lowest(set);
            const unsigned rest = set & (set - 1);
            forward_[half][set] = forward_[half][rest] | onto[digit];
            backward_[half][set] = backward_[half][rest] | back[digit];
        }
    }
}

bool Pair::filter(Mask* domains) const {
    domains[1] &= look_up(forward_, domains[0]);
    domains[0] &= look_up(backward_, domains[1]);
    return domains[0] != 0 && domains[1] != 0;
}

}  // namespace saywhy
