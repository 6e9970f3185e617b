// Few things that show together that digits are gone from cells.
#pragma once

#include <vector>

#include "masks.h"

namespace saywhy {

// Chooses what a listener is reminded of: the greedy set cover (Chvatal 1979), by the cost of reminding.
//
// That a digit is gone from a cell is shown by the digit that stands there, by a digit placed elsewhere that strikes
// it out along something, or by a mark written down. Choosing runs thousands of times a path.
//
// Once all is added, from any number of threads.
class Cover {
  public:
    enum Kind { filled, mark, seen };  // in the order in which equals are preferred

    // A digit gone from a cell: which cell, which digits are asked for, and which of these a mark shows gone.
    struct Need {
        int cell;
        Mask asked, marked;
    };

    // What is chosen: a digit that stands in a cell, seen along something where `along` is not -1; or, where `digits`
    // is not 0, a mark on these digits of a cell.
    struct Chosen {
        int along, cell;
        Mask digits;
    };

    // What it costs to be reminded of a digit in the cell itself, of one seen along something, of one seen along
    // something that is in mind already, and of a mark.
    struct Costs {
        double filled, seen, again, mark;
    };

    // Throws std::invalid_argument unless 1 <= digits <= 16 and 1 <= cells <= 256.
    Cover(int digits, int cells);

    // These cells all differ, which is seen along something (a number from 0).
    void add_different(int along, const std::vector<int>& cells);
    // For each digit of cell a the mask of digits that cell b may then have, seen along something.
    void add_pair(int along, int a, int b, const std::vector<Mask>& table);

    // Chooses for needs that can all be shown; those that cannot are left out.
    //
    // `placed` is one digit a cell, 0 where none; `called` are the numbers along which digits are seen that are in mind.
    // Of ways that cost the same for what they show, the first by kind, number and cell is taken.
    std::vector<Chosen> choose(const std::vector<Need>& needs, const std::vector<int>& placed,
                               const std::vector<int>& called, const Costs& costs) const;

  private:
    struct Sight {
        int from, along;
        int strikes;  // place in strikes_, for digit 1
    };
    void see(int along, int from, int to, int strikes);

    int n_, cells_, alongs_ = 0;
    std::vector<std::vector<Sight>> sights_;  // by the cell that is seen
    std::vector<Mask> strikes_;               // what each digit strikes out
};

}  // namespace saywhy
