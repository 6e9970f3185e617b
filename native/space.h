// Some of a model's primitives, made ready to propagate on the cells that they touch.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "model.h"

namespace saywhy {

// A Space numbers its cells anew, from 0 without gaps, so that a look at three cells costs no more than three
// cells. What changes in a search is not part of it but stands in a *state*: a plain array of state_size()
// masks, to be copied as a whole, of which the first cells() are the domains.
//
// All-different is kept up by bits, in proportion to what changes. For each digit a state holds the cells that can
// hold it, so a digit placed finds the cells that lose it with one `and`; and its *planes*: plane k has bit h where
// place k of house h can hold the digit. Two bit sets summed up over the planes then show every house in which the
// digit has one place left, or none, whatever the houses are. Tried before: counters for each house and digit, kept up
// with vector instructions at each change (1.6 times the time in all-different); passes over whole houses (2 times); for
// each house and digit its places, looked at whenever one goes (1.27 times a plain count); four digits at once in a
// vector (nothing gained).
//
// Legal order: open(); domains into the first cells() masks of a state; settle(); then narrow() on that state
// or on copies of it. After a false the state means nothing.
class Space {
  public:
    explicit Space(Model& model) : model_(model) {}

    // Takes these primitives, on the cells they touch; `whole` takes every cell of the model.
    // Throws std::out_of_range for an id that is not of the model. Cost: in proportion to the scopes.
    void open(std::span<const int> primitives, bool whole = false);
    // All the primitives that the model had when it was closed, on every cell. The first settle() that leaves a cell
    // undecided takes in the sums derived from them as well: many a puzzle is done before these would be worked out.
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

    // The cells of a state at rest that hold more than one digit, as bits; so many words of them.
    const std::uint64_t* undecided(const Mask* state) const { return reinterpret_cast<const std::uint64_t*>(state + undecided_at_); }
    int words() const { return words_; }

    // Writes what is left to fill of a state at rest: two states with the same remainder, one mask a cell, have the same
    // number of fillings. Gives the number of undecided cells.
    int remainder(const Mask* state, Mask* left) const;

  private:
    // Usual: up to 128 cells, 32 houses and 64 lines, so that loops over words go away (a tenth of the time). Nine: nine
    // digits as well and three houses a cell, so that loops over places and houses go away too (a twenty-fifth).
    enum class Fit : std::uint8_t { any, usual, nine };
    // The sizes that loops run over, known to the compiler where they are usual.
    template <Fit F>
    struct Sizes {
        explicit Sizes(const Space& space)
            : words(F == Fit::any ? space.words_ : 2),
              lanes(F == Fit::any ? space.lanes_ : 1),
              digits(F == Fit::nine ? 9 : space.n_),
              stride(digits + 1),
              width(F == Fit::nine ? 3 : space.width_) {}
        const int words, lanes, digits, stride, width;
    };

    struct Line {
        const Propagator* propagator;
        int first, arity;
        bool exact;
        // Runs until a stronger propagator is fetched for it, 0 if there is none.
        int patience;
        int shape;
        Seen seen;
    };
    // A cell's place in a house: the word of a digit's planes, and the bit in it.
    struct Slot {
        std::uint16_t word;
        std::uint32_t bit;
    };
    // The parts of a state.
    struct Parts {
        Mask* held;             // the domains
        std::uint64_t* boards;  // for each digit the cells that can hold it, words_ bits sets
        std::uint32_t* planes;  // for each digit, see above
        std::uint64_t* undecided;  // the cells that have no digit placed
    };

    void open_locked(std::span<const int> primitives, bool whole, bool light);
    bool derive();
    int number(int cell);
    bool add_line(const Primitive& primitive, bool light);
    void strengthen(Line& line);
    void add_sight(const std::vector<std::uint16_t>& cells);
    bool sighted(int a, int b) const { return sight_[static_cast<std::size_t>(a) * words_ + b / 64] >> (b % 64) & 1; }
    void lay_out();
    void lay_out_lines();
    void lay_out_houses();

    Parts parts(Mask* state) const {
        return {state, reinterpret_cast<std::uint64_t*>(state + boards_at_), reinterpret_cast<std::uint32_t*>(state + planes_at_),
                reinterpret_cast<std::uint64_t*>(state + undecided_at_)};
    }
    void wake_lines(int first);
    template <Fit F>
    void wake(int cell);
    template <Fit F>
    void take(const Parts& parts, int cell, Mask kept);
    template <Fit F>
    bool place(const Parts& parts, int cell);
    template <Fit F>
    bool seek(const Parts& parts, int digit);
    template <Fit F>
    void stand(const Parts& parts, int house, int digit);
    int dirty_line(int from, int to) const;
    int next_line();
    template <Fit F>
    bool run(const Parts& parts, int line);
    template <Fit F>
    bool rest(Mask* state);
    bool propagate(Mask* state);
    bool fail(const std::uint8_t* cells, int count);

    Model& model_;
    int n_ = 0, cells_ = 0, words_ = 0;  // words of a bit set over the cells
    std::size_t state_size_ = 0, undecided_at_ = 0, boards_at_ = 0, planes_at_ = 0;
    std::array<std::int16_t, kMostCells> local_{};
    std::vector<std::uint16_t> global_;
    std::vector<Line> lines_;
    int stated_ = 0, turn_ = 0;          // lines that are not derived; the one of them whose turn it is
    std::vector<std::uint8_t> scope_;    // the cells of the lines, one after another
    std::vector<std::uint64_t> sight_;   // for each cell the cells that it sees
    int houses_ = 0;
    int lanes_ = 0;                             // words of a bit set over the houses
    int stride_ = 0;                            // planes of a digit, and the houses in which it is placed
    std::vector<std::uint8_t> house_cells_;     // n a house
    std::vector<std::uint32_t> all_houses_;     // every house, as bits
    int width_ = 0;                             // the most houses that a cell is in
    std::vector<Slot> slots_;                   // width_ a cell
    std::vector<std::uint32_t> homes_;          // for each cell its houses, as bits
    bool underived_ = false;                    // there may be derived sums that are not taken in yet
    bool impossible_ = false;                   // a clique has more cells than there are digits
    // Bit b of a cell's row: line b must run when the cell changes.
    std::vector<std::uint64_t> watch_, dirty_;
    int watch_words_ = 0;
    std::array<std::uint16_t, kMostCells + 2> fixed_{};  // cells with one digit left that are still to be placed
    int fixed_count_ = 0;
    Mask housed_ = 0;                           // all digits, none if there is no house
    Mask open_ = 0;                             // digits of which a house may have few places left
    std::vector<float> weight_;
    bool rest_is_exact_ = false;
    Fit fit_ = Fit::any;
};

}  // namespace saywhy
