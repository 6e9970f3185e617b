#include "space.h"

#include <algorithm>
#include <numeric>
#include <stdexcept>
#include <string>

namespace saywhy {

namespace {

// How often a line of so many cells runs on a whole problem before a table is built for it.
constexpr std::array<int, 7> kPatience = {0, 0, 0, 0, 40, 150, 500};

// What a failure adds to weights, shared by the cells of what failed: a failing pair says more of its two cells
// than a failing house of its nine. A tenth fewer nodes than the same for every cell.
constexpr float kBlame = 3.0f;

}  // namespace

void Space::open(std::span<const int> primitives, bool whole) {
    const std::lock_guard lock(model_.guard_);
    open_locked(primitives, whole, false);
}

void Space::open_all() {
    const std::lock_guard lock(model_.guard_);
    std::vector<int> all(model_.closed_at_ < 0 ? model_.primitives_.size() : model_.closed_at_);
    std::iota(all.begin(), all.end(), 0);
    model_.derive();
    open_locked(all, true, true);
}

int Space::number(int cell) {
    if (local_[cell] < 0) {
        local_[cell] = static_cast<std::int16_t>(cells_++);
        global_.push_back(static_cast<std::uint16_t>(cell));
    }
    return local_[cell];
}

void Space::add_sight(const std::vector<std::uint16_t>& cells) {
    for (const int a : cells) {
        std::uint64_t* row = sight_.data() + static_cast<std::size_t>(local_[a]) * words_;
        for (const int b : cells) row[local_[b] / 64] |= std::uint64_t{1} << (local_[b] % 64);
        row[local_[a] / 64] &= ~(std::uint64_t{1} << (local_[a] % 64));
    }
}

void Space::open_locked(std::span<const int> primitives, bool whole, bool derived) {
    n_ = model_.n_;
    cells_ = 0;
    local_.fill(-1);
    global_.clear();
    lines_.clear();
    scope_.clear();
    house_cells_.clear();
    houses_ = 0;
    impossible_ = false;
    if (whole) {
        for (int cell = 0; cell < model_.cells_; ++cell) number(cell);
    }
    for (const int id : primitives) {
        if (id < 0 || id >= static_cast<int>(model_.primitives_.size())) {
            throw std::out_of_range("primitive " + std::to_string(id) + " is not of this model");
        }
        for (const int cell : model_.primitives_[id].cells) number(cell);
    }
    words_ = (cells_ + 63) / 64;
    sight_.assign(static_cast<std::size_t>(cells_) * words_, 0);

    // Cliques first, since what a line can know of its cells depends on them.
    int cliques = 0;
    for (const int id : primitives) {
        const Primitive& primitive = model_.primitives_[id];
        if (primitive.kind != Kind::different) continue;
        ++cliques;
        add_sight(primitive.cells);
        const int count = static_cast<int>(primitive.cells.size());
        impossible_ |= count > n_;
        if (count != n_) continue;
        ++houses_;
        for (const int cell : primitive.cells) house_cells_.push_back(static_cast<std::uint8_t>(local_[cell]));
    }
    int sharp = 0;  // lines that know which of their cells see each other
    for (const int id : primitives) {
        if (model_.primitives_[id].kind != Kind::different) sharp += add_line(model_.primitives_[id], derived);
    }
    if (derived) {
        for (const Primitive& primitive : model_.derived_) add_line(primitive, true);
    }
    lay_out();
    rest_is_exact_ = lines_.size() == 1 && lines_[0].exact && (cliques == 0 || (sharp == 1 && cells_ == lines_[0].arity));
}

// Says whether the line's propagator knows which of its cells see each other.
bool Space::add_line(const Primitive& primitive, bool light) {
    const int arity = static_cast<int>(primitive.cells.size());
    Seen seen = 0;
    bool repeats = false, all = arity > 1;
    for (int j = 0; j < arity; ++j) {
        const int b = local_[primitive.cells[j]];
        for (int i = 0; i < j; ++i) {
            const int a = local_[primitive.cells[i]];
            repeats |= a == b;
            const bool apart = sighted(a, b);
            all = all && apart;
            if (j < kSeenPlaces && apart) seen |= Seen{1} << pair_bit(i, j);
        }
    }
    if (all) seen |= kClique;
    const Model::Choice choice = model_.propagator(primitive.shape, seen, light);
    lines_.push_back({choice.propagator, static_cast<int>(scope_.size()), arity, choice.propagator->exact() && !repeats,
                      choice.light ? kPatience[arity] : 0, primitive.shape, seen});
    for (const int cell : primitive.cells) scope_.push_back(static_cast<std::uint8_t>(local_[cell]));
    return choice.knows_sight;
}

// Works out everything that is looked up by cell or house, and where things stand in a state.
void Space::lay_out() {
    boards_at_ = (cells_ + 3) / 4 * 4;
    places_at_ = (boards_at_ + static_cast<std::size_t>(n_) * words_ * 4 + 7) / 8 * 8;
    state_size_ = places_at_ + static_cast<std::size_t>(houses_) * (Places::kBytes / sizeof(Mask));

    weight_.assign(cells_, 1.0f);
    const int lines = static_cast<int>(lines_.size());
    watch_words_ = (lines + 63) / 64;
    watch_.assign(static_cast<std::size_t>(cells_) * watch_words_, 0);
    dirty_.assign(watch_words_, 0);
    for (int line = 0; line < lines; ++line) {
        for (int i = lines_[line].first; i < lines_[line].first + lines_[line].arity; ++i) {
            watch_[static_cast<std::size_t>(scope_[i]) * watch_words_ + line / 64] |= std::uint64_t{1} << (line % 64);
            weight_[scope_[i]] += 1.0f;
        }
    }
    house_board_.assign(static_cast<std::size_t>(houses_) * words_, 0);
    houses_first_.assign(cells_ + 1, 0);
    for (const int cell : house_cells_) ++houses_first_[cell + 1], weight_[cell] += 1.0f;
    for (int cell = 0; cell < cells_; ++cell) houses_first_[cell + 1] += houses_first_[cell];
    houses_of_.resize(house_cells_.size());
    for (int i = static_cast<int>(house_cells_.size()) - 1; i >= 0; --i) {
        const int cell = house_cells_[i], house = i / n_;
        house_board_[static_cast<std::size_t>(house) * words_ + cell / 64] |= std::uint64_t{1} << (cell % 64);
        houses_of_[--houses_first_[cell + 1]] = static_cast<std::uint16_t>(house);
    }
    // The loop above left each start one place too far on.
    for (int cell = 0; cell < cells_; ++cell) houses_first_[cell] = houses_first_[cell + 1];
    houses_first_[cells_] = static_cast<int>(house_cells_.size());
    fixed_.clear();
    hidden_.clear();
}

void Space::gather(std::span<const Mask> all, Mask* state) const {
    const Mask full = full_mask(n_);
    for (int cell = 0; cell < cells_; ++cell) state[cell] = all[global_[cell]] & full;
}

void Space::scatter(const Mask* state, std::span<Mask> all) const {
    for (int cell = 0; cell < cells_; ++cell) all[global_[cell]] = state[cell];
}

bool Space::fail(const std::uint8_t* cells, int count) {
    for (int i = 0; i < count; ++i) weight_[cells[i]] += kBlame / static_cast<float>(count);
    std::fill(dirty_.begin(), dirty_.end(), 0);
    fixed_.clear();
    hidden_.clear();
    return false;
}

bool Space::settle(Mask* state) {
    if (impossible_) return false;
    std::fill(state + boards_at_, state + state_size_, Mask{0});
    for (int cell = 0; cell < cells_; ++cell) {
        if (state[cell] == 0) return fail(nullptr, 0);
        for (unsigned left = state[cell]; left; left &= left - 1) {
            board(state, lowest(left))[cell / 64] |= std::uint64_t{1} << (cell % 64);
        }
        if (is_single(state[cell])) fixed_.push_back(static_cast<std::uint8_t>(cell));
        for (int i = houses_first_[cell]; i < houses_first_[cell + 1]; ++i) places(state, houses_of_[i]).add(state[cell]);
    }
    for (int house = 0; house < houses_; ++house) {
        const Places::Left left = places(state, house).look(full_mask(n_));
        if (left.none) return fail(nullptr, 0);
        if (left.one) hidden_.push_back({static_cast<std::uint16_t>(house), left.one});
    }
    for (int line = 0; line < static_cast<int>(lines_.size()); ++line) dirty_[line / 64] |= std::uint64_t{1} << (line % 64);
    return propagate(state);
}

bool Space::narrow(Mask* state, int cell, Mask kept) { return take(state, cell, kept) && propagate(state); }

// The one place where a domain changes: boards, counters and what must be looked at again follow.
bool Space::take(Mask* state, int cell, Mask kept) {
    const Mask gone = state[cell] & static_cast<Mask>(~kept);
    state[cell] = kept;
    const std::uint64_t bit = ~(std::uint64_t{1} << (cell % 64));
    for (unsigned left = gone; left; left &= left - 1) board(state, lowest(left))[cell / 64] &= bit;
    const std::uint64_t* row = watch_.data() + static_cast<std::size_t>(cell) * watch_words_;
    for (int w = 0; w < watch_words_; ++w) dirty_[w] |= row[w];
    if (is_single(kept)) fixed_.push_back(static_cast<std::uint8_t>(cell));
    for (int i = houses_first_[cell]; i < houses_first_[cell + 1]; ++i) {
        const int house = houses_of_[i];
        const Places::Left left = places(state, house).take(gone);
        if (left.none) return fail(house_cells_.data() + static_cast<std::size_t>(house) * n_, n_);
        if (left.one) hidden_.push_back({static_cast<std::uint16_t>(house), left.one});
    }
    return true;
}

// A cell holds its last digit: no cell that it sees can.
bool Space::place(Mask* state, int cell) {
    const Mask digit = state[cell];
    for (int i = houses_first_[cell]; i < houses_first_[cell + 1]; ++i) places(state, houses_of_[i]).place(digit);
    const std::uint64_t* sight = sight_.data() + static_cast<std::size_t>(cell) * words_;
    const std::uint64_t* held = board(state, lowest(digit));
    for (int w = 0; w < words_; ++w) {
        for (std::uint64_t bits = sight[w] & held[w]; bits; bits &= bits - 1) {
            const int other = w * 64 + std::countr_zero(bits);
            const Mask kept = state[other] & static_cast<Mask>(~digit);
            if (kept == 0) {
                weight_[cell] += kBlame / 2;
                weight_[other] += kBlame / 2;
                return fail(nullptr, 0);
            }
            if (!take(state, other, kept)) return false;
        }
    }
    return true;
}

// Digits of a house that had one cell left when last counted go there.
bool Space::find(Mask* state, const Hidden& hidden) {
    const std::uint64_t* house = house_board_.data() + static_cast<std::size_t>(hidden.house) * words_;
    for (unsigned left = hidden.digits; left; left &= left - 1) {
        const std::uint64_t* held = board(state, lowest(left));
        for (int w = 0; w < words_; ++w) {
            const std::uint64_t bits = house[w] & held[w];
            if (bits == 0) continue;
            const int cell = w * 64 + std::countr_zero(bits);
            const auto digit = static_cast<Mask>(left & -left);
            if (state[cell] != digit && !take(state, cell, digit)) return false;
            break;
        }
    }
    return true;
}

// A table takes longer to build than an easy puzzle to solve, so on whole problems a line gets one when it has
// been run often enough to pay for it.
void Space::strengthen(Line& line) {
    const std::lock_guard lock(model_.guard_);
    line.propagator = model_.propagator(line.shape, line.seen).propagator;
}

bool Space::run(Mask* state, int number) {
    Line& line = lines_[number];
    if (line.patience && --line.patience == 0) strengthen(line);
    std::array<Mask, kMostCells> held;
    const std::uint8_t* cells = scope_.data() + line.first;
    for (int i = 0; i < line.arity; ++i) held[i] = state[cells[i]];
    if (!line.propagator->filter(held.data())) return fail(cells, line.arity);
    for (int i = 0; i < line.arity; ++i) {
        const Mask kept = state[cells[i]] & held[i];
        if (kept == state[cells[i]]) continue;
        if (kept == 0) return fail(cells, line.arity);
        if (!take(state, cells[i], kept)) return false;
    }
    // Only an exact propagator has nothing more to say after its own changes.
    if (line.exact) dirty_[number / 64] &= ~(std::uint64_t{1} << (number % 64));
    return true;
}

bool Space::propagate(Mask* state) {
    for (;;) {
        if (!fixed_.empty()) {
            const int cell = fixed_.back();
            fixed_.pop_back();
            if (!place(state, cell)) return false;
        } else if (!hidden_.empty()) {
            const Hidden hidden = hidden_.back();
            hidden_.pop_back();
            if (!find(state, hidden)) return false;
        } else {
            int w = 0;
            while (w < watch_words_ && dirty_[w] == 0) ++w;
            if (w == watch_words_) return true;
            const int line = w * 64 + std::countr_zero(dirty_[w]);
            dirty_[w] &= dirty_[w] - 1;
            if (!run(state, line)) return false;
        }
    }
}

}  // namespace saywhy
