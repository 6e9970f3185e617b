// Fillings made from one that was found.
#pragma once

#include <vector>

#include "space.h"

namespace saywhy {

// Turns, mirrors and renumbers a filling, and checks what comes out like any other filling.
//
// Why: where a board has few clues or none, most of what a search has found holds in the mirror, or with all digits one
// higher, as well, and checking that costs a hundredth of a search. No symmetry is assumed, and none has to be proved:
// a filling that holds is a witness wherever it comes from. A change that failed once is not tried again, so a board
// without symmetry loses little.
// It is for spaces on every cell of a square board, row by row; on others it does nothing.
class Alike {
  public:
    explicit Alike(Space& space);

    // Takes the digits of all fillings made from this one that are within the domains out of `open`.
    void witness(const Mask* filling, const Mask* domains, Mask* open);

  private:
    struct Change {
        int turn;   // 0 to 7
        int shift;  // what is added to each digit, round the circle
        bool upside_down;  // the digits counted from above
    };
    void apply(const Change& change, const Mask* filling);

    Space& space_;
    int n_;
    std::vector<Change> changes_;  // those that have not failed yet
    std::vector<Mask> made_;
};

}  // namespace saywhy
