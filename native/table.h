// Full support by a table of all fillings.
#pragma once

#include <array>

#include "propagator.h"

namespace saywhy {

// Keeps exactly the digits that occur in a listed filling (the bit-parallel table propagator: Demeulenaere
// et al., "Compact-Table", CP 2016, without its reversible sparse sets).
//
// Why: a short sum, renban or run of an automaton together with who sees whom has at most a few thousand
// fillings, and one pass over bit sets of that length prunes it perfectly.
// Invariant: bit t of `supports[place][digit]` says that filling t has this digit in this place.
// Cost: at most arity * n * words word operations, two passes.
class Table final : public Propagator {
  public:
    Table(int n, const Tuples& fillings);
    bool filter(Mask* domains) const override;

  private:
    const std::uint64_t* support(int place, int digit) const {
        return supports_.data() + (static_cast<std::size_t>(place) * n_ + digit) * words_;
    }

    int n_, arity_, words_;
    std::vector<Mask> occurring_;
    // The words between which the fillings lie that begin with a digit: listed in order, they lie together.
    std::array<std::uint8_t, kMostDigits> first_{}, last_{};
    std::vector<std::uint64_t> supports_;
    // Filling t as one word, bit place * n + digit; empty where that needs more than 64 bits.
    std::vector<std::uint64_t> packed_;
};

// Above this many fillings the algorithmic propagators are used instead.
constexpr std::size_t kTableLimit = 4096;

}  // namespace saywhy
