// Sums that follow from houses and printed sums.
#pragma once

#include <vector>

#include "model.h"

namespace saywhy {

struct Sum {
    std::vector<int> coefficients;
    std::vector<int> cells;
    long long total;
};

// Gives the sums of few cells that are left over where printed sums nearly cover one to three houses: the
// digits of a house add up to a constant, so what sticks out less what is missing has a known sum.
//
// Why: propagating house by house and sum by sum never sees it, and it halved the time on cages.
// Invariant: each is a linear combination of the model's own primitives, so it removes no filling.
// Cost: a few operations on bit sets a union of houses and sum; unions are few dozen to a few hundred.
std::vector<Sum> derived_sums(int n, const std::vector<std::vector<std::uint16_t>>& houses, const std::vector<Sum>& sums);

}  // namespace saywhy
