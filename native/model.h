// A problem: cells, digits 1 to n, and primitives that a filling must satisfy.
//
// This header with space.h and search.h is the manual of the core. The promise: whatever a query reports as
// finished is exact; what it reports as unfinished is a safe one-sided answer. Nothing here knows a rule's
// name.
//
//     saywhy::Model model(4, 16);                          // digits 1-4, 16 cells
//     int row = model.add_different({0, 1, 2, 3});         // ids count from 0 in order of adding
//     int sum = model.add_linear({1, 1}, {0, 1}, 3);       // cells 0 and 1 make 3
//     saywhy::Lease space(model);                          // working memory, kept for the next call
//     space->open({row, sum});                             // only these two primitives
//     std::vector<saywhy::Mask> state(space->state_size(), 15);
//     saywhy::Limits limits;
//     bool finished = saywhy::support(*space, state.data(), limits);
//     // finished; the first four masks of state are {1,2}, {1,2}, {3,4}, {3,4}
//
// Legal orders: primitives may be added at any time, also while another thread searches; a Space sees those
// that there were when it was opened. A Model may be used from any number of threads, a Space from one.
#pragma once

#include <cstdint>
#include <deque>
#include <map>
#include <memory>
#include <mutex>
#include <unordered_map>
#include <vector>

#include "propagator.h"

namespace saywhy {

class Space;

enum class Kind : std::uint8_t { different, linear, pair, regular, count };

// One primitive: what kind, on which cells, and (but for all-different) which shape, that is its content
// without its cells. Lines of one shape share their propagators.
struct Primitive {
    Kind kind;
    int shape;
    std::vector<std::uint16_t> cells;
};

class Model {
  public:
    // Throws std::invalid_argument unless 1 <= n <= 16 and 1 <= cells <= 256.
    Model(int n, int cells);
    ~Model();
    Model(const Model&) = delete;
    Model& operator=(const Model&) = delete;

    // Each adds one primitive and gives its id. All throw std::invalid_argument where a cell is not of this
    // model, stands twice, or the rest does not fit; the message says what was expected.
    int add_different(const std::vector<int>& cells);
    int add_linear(const std::vector<int>& coefficients, const std::vector<int>& cells, long long total);
    int add_pair(int a, int b, const std::vector<int>& table);
    int add_regular(const std::vector<int>& cells, const std::vector<int>& moves, const std::vector<int>& accepting);
    int add_count(const std::vector<int>& cells);

    // Says that the problem is complete: primitives added from now on (derived ones, for looks) are left out
    // of queries on the whole problem.
    void close();
    // For each primitive whether it holds on a full filling, digits from 1, one a cell.
    std::vector<bool> satisfied(const std::vector<int>& filling);
    // The cells that these primitives speak of, ascending. Throws std::invalid_argument where an id is unknown.
    std::vector<int> touched(const std::vector<int>& primitives) const;

    int digits() const { return n_; }
    int cells() const { return cells_; }
    int size() const;

  private:
    friend class Space;
    friend class Lease;
    friend class Follower;

    struct Shape {
        Kind kind;
        int arity;
        std::vector<int> numbers;  // coefficients, allowed masks, or moves
        std::vector<bool> accepting;
        long long total = 0;
    };
    struct Choice {
        const Propagator* propagator;
        bool knows_sight;  // takes account of which of its cells see each other
        bool light;        // cheap to build; there may be a stronger one
    };

    std::vector<std::uint16_t> checked(const std::vector<int>& cells, bool repeats) const;
    int add(Kind kind, std::vector<std::uint16_t> cells, Shape shape);
    static std::optional<std::vector<Mask>> relation_of(int n, const Shape& shape);
    static std::optional<std::vector<Mask>> family_of(int n, const Shape& shape, Seen seen);
    // The best propagator for a shape whose places see each other so. Built at first use, then shared.
    // Cost: at most a few thousand fillings listed, once a shape and pattern. The caller holds `guard_`.
    // `light`: one that is cheap to build, for a line that may hardly be used.
    Choice propagator(int shape, Seen seen, bool light = false);
    // Works out the derived sums of the problem, once. The caller holds `guard_`.
    void derive();
    int shape_number(Shape shape);

    int n_, cells_;
    int closed_at_ = -1;
    mutable std::mutex guard_;
    std::vector<Primitive> primitives_;
    bool derived_known_ = false;
    std::vector<Primitive> derived_;  // implied, without ids; only for queries on the whole problem
    std::vector<Shape> shapes_;
    std::map<std::vector<long long>, int> shape_numbers_;
    std::vector<std::unordered_map<Seen, Choice>> choices_;  // one a shape
    std::deque<std::unique_ptr<const Propagator>> propagators_;
    std::vector<std::unique_ptr<Space>> idle_;
};

// A Space of a model for as long as the lease lives; looks of a few cells would otherwise spend most of
// their time on allocation.
class Lease {
  public:
    explicit Lease(Model& model);
    ~Lease();
    Lease(const Lease&) = delete;
    Lease& operator=(const Lease&) = delete;
    Space& operator*() const { return *space_; }
    Space* operator->() const { return space_.get(); }

  private:
    Model& model_;
    std::unique_ptr<Space> space_;
};

}  // namespace saywhy
