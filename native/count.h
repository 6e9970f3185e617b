// Each digit that stands in the cells stands in exactly that many of them.
#pragma once

#include "propagator.h"

namespace saywhy {

// Counting circles: if digit d occurs among the cells, it occurs exactly d times.
//
// Why this way: the digits used sum to the number of cells, so a subset-sum sweep says which digits must and
// which cannot be used; beyond that, counting how often each digit is placed and how often it could be.
// Invariant: complete on full fillings; not full support (that needs a flow a set of used digits, and there
// is at most one such clue in a puzzle). Loops until it comes to rest.
// Cost: cells plus n * n bit operations a round.
class Count final : public Propagator {
  public:
    Count(int n, int arity);
    bool filter(Mask* domains) const override;
    bool exact() const override { return false; }

  private:
    int n_, arity_;
};

}  // namespace saywhy
