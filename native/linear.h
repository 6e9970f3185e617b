// A weighted sum equals a constant.
#pragma once

#include "propagator.h"

namespace saywhy {

// Full support on a sum by the set of partial sums that can be reached, forwards and backwards (Trick, "A
// dynamic programming approach for consistency and propagation for knapsack constraints", 2003), one bit a
// partial sum.
//
// Why this way: bounds alone needed four times the time on the same puzzles. Who sees whom is not known
// here; where the fillings are few a Table that knows it takes this propagator's place.
// Invariant: every term is shifted to start at 0 (digit 1, or digit n where the coefficient is negative), and
// the whole sum is mirrored if that makes the target smaller, so almost every sum of a puzzle fits one word.
// Cost: three shifts a digit held.
class Linear final : public Propagator {
  public:
    Linear(int n, const std::vector<int>& coefficients, long long total);
    bool filter(Mask* domains) const override;

    // Lists all fillings in which places that see each other differ; nothing if there are more than `limit`.
    std::optional<Tuples> fillings(Seen seen, std::size_t limit) const;

  private:
    bool filter_long(Mask* domains) const;
    Mask turned(Mask digits, bool reversed) const;

    struct Term {
        int weight;
        bool reversed;  // the term is weight * (n - digit) instead of weight * (digit - 1)
    };
    int n_;
    std::vector<Term> terms_;
    long long target_;
    bool possible_;
};

// Partial sums beyond this many bits are refused when the primitive is added.
constexpr long long kMostSum = 1 << 20;

}  // namespace saywhy
