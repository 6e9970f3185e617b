// What looks show in a position, asked again only where their cells have changed.
#pragma once

#include <utility>
#include <vector>

#include "search.h"

namespace saywhy {

// Keeps looks with their last answers. A path asks every look in every position, and a step changes few cells: most
// answers stand. A part of the way gone anew without one of its steps, and a review that goes to and fro between what
// stands and what would follow from it, meet again what they met before.
//
// From one thread at a time.
class Lookout {
  public:
    // What one look shows: the place at which it was asked for, and for some cells the digits that go.
    struct Shown {
        int place;
        std::vector<std::pair<int, Mask>> gone;
    };

    // Gives each single look so many nodes of search; where they run out it shows less than it could.
    Lookout(Model& model, std::uint64_t nodes) : model_(model), nodes_(nodes) {}

    // Adds a look at these primitives and gives its number. What one of the looks in `apart` (numbers) shows alone is
    // not counted as shown by this one.
    int add(std::vector<int> primitives, std::vector<int> apart);

    // Gives those of these looks that show anything in these domains (one mask a cell of the model), in order, their
    // cells ascending. A look all of whose cells are single shows nothing.
    std::vector<Shown> shown(const std::vector<Mask>& domains, const std::vector<int>& looks);

    const Model& model() const { return model_; }

  private:
    // What a look's cells held when it was asked, and what it showed then.
    struct Answer {
        std::vector<Mask> seen, gone;
    };
    struct Look {
        std::vector<int> primitives, apart;
        std::vector<int> cells;  // ascending
        std::vector<Answer> known;  // the last ones, at most kKept
        std::size_t next = 0;  // the one given up last
    };

    const std::vector<Mask>& ask(Look& look, const std::vector<Mask>& domains);

    Model& model_;
    std::uint64_t nodes_;
    std::vector<Look> looks_;
};

}  // namespace saywhy
