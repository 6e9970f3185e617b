// Searching a Space: fillings one by one, which digits occur in some filling, projections.
#pragma once

#include <atomic>
#include <chrono>
#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include "memo.h"
#include "space.h"

namespace saywhy {

// When to stop. One Limits object covers one query: what is spent stays spent.
struct Limits {
    std::uint64_t nodes = UINT64_MAX;
    std::uint64_t pause = UINT64_MAX;  // spend() also says no here, but without being out
    std::optional<std::chrono::steady_clock::time_point> deadline;
    const std::atomic<bool>* cancel = nullptr;
    std::function<bool()> interrupted;  // asked now and then; true stops
    std::uint64_t used = 0;             // nodes so far
    bool out = false;                   // once true it stays so
    // Spends one node; false when the query must stop. Looks at the clock every 32 nodes.
    bool spend();
};

enum class End : std::uint8_t {
    exhausted,  // there are no more fillings: a proof
    enough,     // the caller had enough
    stopped,    // limits
};

// Depth-first search with a copy of the state a decision.
//
// Why this way: branching on domain size over weighted degree was worth a factor of 24 in all over smallest
// domain in a prototype; copying a state of some 750 bytes costs less than a trail. After a refuted digit the
// cell is chosen anew, with the digit gone. Decaying weights, other powers of the size and full support on every
// house (a third fewer nodes, but far dearer ones) were tried and dropped.
class Search {
  public:
    // `seed` 0 takes digits in ascending order and the first of equally good cells; others shuffle both.
    Search(Space& space, Limits& limits, std::uint64_t seed = 0);

    // Visits the fillings within a settled state; `visit` gets a state of singles and says whether to go on.
    // `wanted`: digits to try first, one mask a cell.
    End run(const Mask* settled, const std::function<bool(const Mask*)>& visit, const Mask* wanted = nullptr);

    // Counts the fillings within a settled state, up to `most`, which is at least 1: `enough` when there are so many.
    // Of a count that was stopped, `found` is what was found until then.
    End count(const Mask* settled, std::uint64_t most, std::uint64_t& found);

    // Visits each choice of digits for the first `count` of `cells` that can be filled up, once.
    End project(const Mask* settled, std::span<const int> cells, const std::function<bool(const Mask*)>& visit);

  private:
    struct Decision {
        int cell;
        Mask digit;
    };
    Mask* level(int depth) { return stack_.get() + static_cast<std::size_t>(depth) * stride_; }
    int choose(const Mask* domains) const;
    std::uint64_t tally(int depth, std::uint64_t most, Memo& memo);
    Mask pick(Mask digits, Mask wanted);
    bool descend(int& depth, int cell, Mask wanted);
    bool back_up(int& depth);
    std::uint64_t random();

    Space& space_;
    Limits& limits_;
    std::uint64_t state_;
    int stride_;
    std::unique_ptr<Mask[]> stack_;
    std::vector<Decision> decisions_;
    bool stopped_ = false;  // a count ran into its limits
};

// Narrows the domains of a state (anything behind them is made anew) to exactly the digits that occur in some joint filling;
// all empty if there is none. False when the limits stopped it: then the domains are a superset.
bool support(Space& space, Mask* state, Limits& limits, std::uint64_t seed = 0);

}  // namespace saywhy
