// The digits of a line are a word of a finite automaton.
#pragma once

#include <array>

#include "propagator.h"
#include "sets.h"

namespace saywhy {

// Full support on a word of an automaton (Pesant, "A regular language membership constraint for finite
// sequences of variables", CP 2004), on a permutation together with all-different.
//
// Why this way: the automaton is unrolled once, a layer a place, keeping only states that lie on a way from
// the start to an accepting end; one sweep forwards and one backwards over the states that the domains still
// allow then prunes. Sweeping anew costs less here than keeping Pesant's counters in step with backtracking.
//
// Where the places are a permutation of all digits, the automaton alone lets digits repeat, which made
// sandwiches the slowest of all clues: thousands of nodes, where full support needs a handful. So a state is
// not reached or not, but reached with a family of sets of digits used (up to 9 digits). Above 9 digits it is
// reached with totals: every digit weighs something, the weights of a permutation add up to a constant, and
// totals modulo 64 fit one word in which reading a digit is a rotation; with powers of two as weights few
// multisets of digits but the right one make the total.
// Tried and dropped: totals for 9 digits as well (60 times the nodes), several kinds of weights after each
// other (slower than sets), a Table of all permutations (10 ms a line to build).
// Cost: the live states times the digits held, twice; times 2^n / 64 word operations on a permutation.
class Regular final : public Propagator {
  public:
    // moves[state * n + digit - 1] is the next state or -1; state 0 starts.
    Regular(int n, int arity, const std::vector<int>& moves, const std::vector<bool>& accepting, bool permutation);
    bool filter(Mask* domains) const override;

    // Lists all words in which places that see each other differ; nothing if there are more than `limit`.
    std::optional<Tuples> fillings(Seen seen, std::size_t limit) const;

    // Whether it prunes a permutation fully, all-different included.
    bool knows_sets() const { return permutation_ && n_ <= kMostSetDigits; }

  private:
    static constexpr std::uint16_t kNone = 0xffff;
    struct Layer {
        int states = 0;
        int first = 0;                    // where its states start among those of all layers
        std::vector<std::uint16_t> next;  // states * n, a state of the following layer or kNone
    };
    template <class Reached>
    bool sweep(Mask* domains) const;

    int n_, arity_;
    int states_ = 0;  // in all layers
    bool permutation_;
    std::array<int, kMostDigits> weights_{};
    int total_ = 0;
    bool possible_ = true;
    std::vector<Layer> layers_;
};

}  // namespace saywhy
