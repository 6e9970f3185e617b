// The digits of a line are a word of a finite automaton.
#pragma once

#include "propagator.h"

namespace saywhy {

// Full support on a word of an automaton (Pesant, "A regular language membership constraint for finite
// sequences of variables", CP 2004).
//
// Why this way: the automaton is unrolled once, a layer a place, keeping only states that lie on a way from
// the start to an accepting end; one sweep forwards and one backwards over the states that the domains still
// allow then prunes. Sweeping anew costs less here than keeping Pesant's counters in step with backtracking.
// Cost: the live states times the digits held, twice.
class Regular final : public Propagator {
  public:
    // moves[state * n + digit - 1] is the next state or -1; state 0 starts.
    Regular(int n, int arity, const std::vector<int>& moves, const std::vector<bool>& accepting);
    bool filter(Mask* domains) const override;

    // Lists all words in which places that see each other differ; nothing if there are more than `limit`.
    std::optional<Tuples> fillings(Seen seen, std::size_t limit) const;

  private:
    static constexpr std::uint16_t kNone = 0xffff;
    struct Layer {
        int states = 0;
        int first = 0;                    // where its bits start among the bits of all layers
        std::vector<std::uint16_t> next;  // states * n, a state of the following layer or kNone
    };
    int n_, arity_;
    int words_ = 0;  // of the bit set over the states of all layers; each layer starts a word
    bool possible_ = true;
    std::vector<Layer> layers_;
};

}  // namespace saywhy
