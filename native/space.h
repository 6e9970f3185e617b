// Some of a model's primitives, made ready to propagate on the cells that they touch.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "model.h"

namespace saywhy {

// A Space numbers its cells anew, from 0 without gaps, so that a look at three cells costs no more than three
// cells. The domains are not part of it: they are plain arrays of cells() masks which the search copies.
//
// Legal order: open(), then settle() on a fresh array of domains, then any number of touch() and propagate()
// on that array or on copies of it.
class Space {
  public:
    explicit Space(Model& model) : model_(model) {}

    // Takes these primitives, on the cells they touch; `whole` takes every cell of the model.
    // Throws std::out_of_range for an id that is not of the model. Cost: in proportion to the scopes.
    void open(std::span<const int> primitives, bool whole = false);
    // All the primitives that the model had when it was closed, on every cell.
    void open_all();

    int cells() const { return cells_; }
    int digits() const { return n_; }
    int global(int cell) const { return global_[cell]; }
    // The cell's number here, -1 where no primitive touches it.
    int local(int cell) const { return local_[cell]; }

    // Takes the domains of the model's cells into this space's numbering, and back.
    void gather(std::span<const Mask> all, Mask* domains) const;
    void scatter(const Mask* domains, std::span<Mask> all) const;

    // Whether coming to rest already leaves exactly the digits that occur in some joint filling.
    bool rest_is_exact() const { return rest_is_exact_; }

    // Propagates everything once; false if some cell has nothing left.
    bool settle(Mask* domains);
    // Says that a cell's domain was narrowed by the caller; propagate() then draws the consequences.
    void touch(int cell, const Mask* domains) {
        const std::uint64_t* row = watch_.data() + static_cast<std::size_t>(cell) * watch_words_;
        for (int w = 0; w < watch_words_; ++w) dirty_[w] |= row[w];
        if (apart_first_[cell] != apart_first_[cell + 1] && is_single(domains[cell])) fixed_.push_back(static_cast<std::uint8_t>(cell));
    }
    bool propagate(Mask* domains);

    // How often constraints on the cell have failed (Boussemart et al., "Boosting systematic search by
    // weighting constraints", ECAI 2004). Branching divides the number of options by it.
    float weight(int cell) const { return weight_[cell]; }

  private:
    struct Line {
        const Propagator* propagator;
        int first, arity;
        bool exact;
    };
    struct Clique {
        int first, count;
        bool house;  // as many cells as digits, so each digit stands somewhere in it
    };

    void open_locked(std::span<const int> primitives, bool whole);
    int number(int cell);
    void add_sight(const std::vector<std::uint16_t>& cells);
    bool sighted(int a, int b) const { return sight_[static_cast<std::size_t>(a) * sight_words_ + b / 64] >> (b % 64) & 1; }
    void watch_all();
    bool run_line(const Line& line, int bit, Mask* domains);
    bool run_clique(const Clique& clique, Mask* domains);
    bool part_fixed(Mask* domains);
    bool fail(int first, int count);

    Model& model_;
    int n_ = 0, cells_ = 0;
    std::array<std::int16_t, kMostCells> local_{};
    std::vector<std::uint16_t> global_;
    std::vector<Line> lines_;
    std::vector<Clique> cliques_;
    std::vector<std::uint8_t> scope_;  // the cells of lines and cliques, one after another
    // Cells that must differ and share no clique of three or more: a knight's move, say.
    std::vector<int> apart_first_;
    std::vector<std::uint8_t> apart_;
    std::vector<std::uint64_t> sight_;
    int sight_words_ = 0;
    // Bit b of a cell's row: line b, or clique b - lines, must run when the cell changes.
    std::vector<std::uint64_t> watch_, dirty_;
    int watch_words_ = 0;
    std::vector<std::uint8_t> fixed_;
    std::vector<float> weight_;
    bool rest_is_exact_ = false;
};

}  // namespace saywhy
