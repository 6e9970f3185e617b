// Some of a model's primitives, made ready to propagate on the cells that they touch.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "different.h"
#include "model.h"

namespace saywhy {

// A Space numbers its cells anew, from 0 without gaps, so that a look at three cells costs no more than three
// cells. What changes in a search is not part of it but stands in a *state*: a plain array of state_size()
// masks, to be copied as a whole, of which the first cells() are the domains.
//
// Legal order: open(); domains into the first cells() masks of a state; settle(); then narrow() on that state
// or on copies of it. After a false the state means nothing.
class Space {
  public:
    explicit Space(Model& model) : model_(model) {}

    // Takes these primitives, on the cells they touch; `whole` takes every cell of the model.
    // Throws std::out_of_range for an id that is not of the model. Cost: in proportion to the scopes.
    void open(std::span<const int> primitives, bool whole = false);
    // All the primitives that the model had when it was closed and the sums derived from them, on every cell.
    void open_all();

    int cells() const { return cells_; }
    int digits() const { return n_; }
    std::size_t state_size() const { return state_size_; }
    int global(int cell) const { return global_[cell]; }
    // The cell's number here, -1 where no primitive touches it.
    int local(int cell) const { return local_[cell]; }

    // Takes the domains of the model's cells into a state's, and back.
    void gather(std::span<const Mask> all, Mask* state) const;
    void scatter(const Mask* state, std::span<Mask> all) const;

    // Whether coming to rest already leaves exactly the digits that occur in some joint filling.
    bool rest_is_exact() const { return rest_is_exact_; }

    // Makes the rest of a state from its domains and propagates everything; false if a contradiction shows.
    bool settle(Mask* state);
    // Leaves a cell only these of its digits and draws the consequences; false if a contradiction shows.
    bool narrow(Mask* state, int cell, Mask kept);

    // How often constraints on the cell have failed (Boussemart et al., "Boosting systematic search by
    // weighting constraints", ECAI 2004). Branching divides the number of options by it.
    float weight(int cell) const { return weight_[cell]; }

  private:
    struct Line {
        const Propagator* propagator;
        int first, arity;
        bool exact;
        // Runs until a stronger propagator is fetched for it, 0 if there is none.
        int patience;
        int shape;
        Seen seen;
    };
    struct Hidden {
        std::uint16_t house;
        Mask digits;
    };

    void open_locked(std::span<const int> primitives, bool whole, bool derived);
    int number(int cell);
    bool add_line(const Primitive& primitive, bool light);
    void strengthen(Line& line);
    void add_sight(const std::vector<std::uint16_t>& cells);
    bool sighted(int a, int b) const { return sight_[static_cast<std::size_t>(a) * words_ + b / 64] >> (b % 64) & 1; }
    void lay_out();

    // The cells, as bits, that can still hold a digit; and the counters of a house.
    std::uint64_t* board(Mask* state, int digit) const {
        return reinterpret_cast<std::uint64_t*>(state + boards_at_) + static_cast<std::size_t>(digit) * words_;
    }
    Places places(Mask* state, int house) const {
        return Places(reinterpret_cast<std::uint8_t*>(state + places_at_) + static_cast<std::size_t>(house) * Places::kBytes);
    }

    bool take(Mask* state, int cell, Mask kept);
    bool place(Mask* state, int cell);
    bool find(Mask* state, const Hidden& hidden);
    bool run(Mask* state, int line);
    bool propagate(Mask* state);
    bool fail(const std::uint8_t* cells, int count);

    Model& model_;
    int n_ = 0, cells_ = 0, words_ = 0;  // words of a bit set over the cells
    std::size_t state_size_ = 0, boards_at_ = 0, places_at_ = 0;
    std::array<std::int16_t, kMostCells> local_{};
    std::vector<std::uint16_t> global_;
    std::vector<Line> lines_;
    std::vector<std::uint8_t> scope_;    // the cells of the lines, one after another
    std::vector<std::uint64_t> sight_;   // for each cell the cells that it sees
    int houses_ = 0;
    std::vector<std::uint8_t> house_cells_;     // n a house
    std::vector<std::uint64_t> house_board_;    // the same as bits
    std::vector<int> houses_first_;             // where a cell's houses start in houses_of_
    std::vector<std::uint16_t> houses_of_;
    bool impossible_ = false;                   // a clique has more cells than there are digits
    // Bit b of a cell's row: line b must run when the cell changes.
    std::vector<std::uint64_t> watch_, dirty_;
    int watch_words_ = 0;
    std::vector<std::uint8_t> fixed_;
    std::vector<Hidden> hidden_;
    std::vector<float> weight_;
    bool rest_is_exact_ = false;
};

}  // namespace saywhy
