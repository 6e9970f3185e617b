#include "space.h"

#include <algorithm>
#include <cstring>
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
    open_locked(all, true, true);
    underived_ = true;
    // What may still be added is not part of this space, nor are sums that follow from it.
    if (model_.closed_at_ < 0) model_.derive();
}

// Takes in the derived sums; false if there are none.
bool Space::derive() {
    underived_ = false;
    const std::lock_guard lock(model_.guard_);
    model_.derive();
    for (const Primitive& primitive : model_.derived_) add_line(primitive, true);
    if (model_.derived_.empty()) return false;
    lay_out_lines();
    rest_is_exact_ = false;
    return true;
}

int Space::number(int cell) {
    if (local_[cell] < 0) {
        local_[cell] = static_cast<std::int16_t>(cells_++);
        global_.push_back(static_cast<std::uint16_t>(cell));
    }
    return local_[cell];
}

void Space::add_sight(const std::vector<std::uint16_t>& cells) {
    std::array<std::uint64_t, kMostCells / 64> all{};
    for (const int cell : cells) all[local_[cell] / 64] |= std::uint64_t{1} << (local_[cell] % 64);
    for (const int cell : cells) {
        std::uint64_t* row = sight_.data() + static_cast<std::size_t>(local_[cell]) * words_;
        for (int w = 0; w < words_; ++w) row[w] |= all[w];
        row[local_[cell] / 64] &= ~(std::uint64_t{1} << (local_[cell] % 64));
    }
}

void Space::open_locked(std::span<const int> primitives, bool whole, bool light) {
    n_ = model_.n_;
    cells_ = 0;
    local_.fill(-1);
    global_.clear();
    lines_.clear();
    scope_.clear();
    house_cells_.clear();
    houses_ = 0;
    impossible_ = underived_ = false;
    if (whole) {
        for (int cell = 0; cell < model_.cells_; ++cell) number(cell);
    }
    for (const int id : primitives) {
        if (id < 0 || id >= static_cast<int>(model_.primitives_.size())) {
            throw std::out_of_range("primitive " + std::to_string(id) + " is not of this model");
        }
        for (const int cell : model_.primitives_[id].cells) number(cell);
    }
    words_ = std::max(2, (cells_ + 63) / 64);
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
        if (model_.primitives_[id].kind != Kind::different) sharp += add_line(model_.primitives_[id], light);
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
    housed_ = houses_ ? full_mask(n_) : Mask{0};
    lanes_ = (houses_ + 31) / 32;
    stride_ = n_ + 1;
    undecided_at_ = (cells_ + 3) / 4 * 4;
    boards_at_ = undecided_at_ + static_cast<std::size_t>(words_) * 4;
    planes_at_ = boards_at_ + static_cast<std::size_t>(n_) * words_ * 4;
    state_size_ = (planes_at_ + static_cast<std::size_t>(lanes_) * n_ * stride_ * 2 + 3) / 4 * 4;

    stated_ = static_cast<int>(lines_.size());
    turn_ = 0;
    lay_out_houses();
    lay_out_lines();
    fixed_count_ = 0;
    open_ = 0;
}

// Works out which lines a cell wakes, and the weights that branching starts with.
void Space::lay_out_lines() {
    weight_.assign(cells_, 1.0f);
    for (const int cell : house_cells_) weight_[cell] += 1.0f;
    const int lines = static_cast<int>(lines_.size());
    watch_words_ = (lines + 63) / 64;
    watch_.assign(static_cast<std::size_t>(cells_) * std::max(1, watch_words_), 0);
    dirty_.assign(std::max(1, watch_words_), 0);
    for (int line = 0; line < lines; ++line) {
        for (int i = lines_[line].first; i < lines_[line].first + lines_[line].arity; ++i) {
            watch_[static_cast<std::size_t>(scope_[i]) * watch_words_ + line / 64] |= std::uint64_t{1} << (line % 64);
            weight_[scope_[i]] += 1.0f;
        }
    }
    const bool usual = words_ == 2 && lanes_ <= 1 && watch_words_ <= 1;
    fit_ = !usual ? Fit::any : n_ == 9 && width_ == 3 ? Fit::nine : Fit::usual;
}

void Space::lay_out_houses() {
    all_houses_.assign(lanes_, 0);
    for (int house = 0; house < houses_; ++house) all_houses_[house / 32] |= std::uint32_t{1} << (house % 32);
    std::vector<int> count(cells_, 0);
    for (const int cell : house_cells_) ++count[cell];
    width_ = cells_ ? *std::ranges::max_element(count) : 0;
    slots_.assign(static_cast<std::size_t>(cells_) * width_, Slot{0, 0});
    homes_.assign(static_cast<std::size_t>(cells_) * lanes_, 0);
    const std::uint8_t* next = house_cells_.data();
    for (int house = 0; house < houses_; ++house) {
        const int lane = house / 32;
        const std::uint32_t bit = std::uint32_t{1} << (house % 32);
        for (int place = 0; place < n_; ++place) {
            const int cell = *next++;
            slots_[cell * width_ + --count[cell]] = {static_cast<std::uint16_t>(lane * stride_ + place), bit};
            homes_[cell * lanes_ + lane] |= bit;
        }
    }
}

void Space::gather(std::span<const Mask> all, Mask* state) const {
    const Mask full = full_mask(n_);
    for (int cell = 0; cell < cells_; ++cell) state[cell] = all[global_[cell]] & full;
}

void Space::scatter(const Mask* state, std::span<Mask> all) const {
    for (int cell = 0; cell < cells_; ++cell) all[global_[cell]] = state[cell];
}

// Placed digits have been struck out of every cell that sees them; only lines still depend on them.
int Space::remainder(const Mask* state, Mask* left) const {
    const std::uint64_t* undecided = this->undecided(state);
    const auto open = [&](int cell) { return undecided[cell / 64] >> (cell % 64) & 1; };
    std::fill(left, left + cells_, Mask{0});
    int count = 0;
    for (int w = 0; w < words_; ++w) {
        for (std::uint64_t bits = undecided[w]; bits; bits &= bits - 1, ++count) {
            const int cell = w * 64 + std::countr_zero(bits);
            left[cell] = state[cell];
        }
    }
    for (const Line& line : lines_) {
        const std::uint8_t* first = scope_.data() + line.first;
        const std::uint8_t* last = first + line.arity;
        if (std::none_of(first, last, open)) continue;
        for (const std::uint8_t* cell = first; cell != last; ++cell) left[*cell] = state[*cell];
    }
    return count;
}

bool Space::fail(const std::uint8_t* cells, int count) {
    for (int i = 0; i < count; ++i) weight_[cells[i]] += kBlame / static_cast<float>(count);
    std::fill(dirty_.begin(), dirty_.end(), 0);
    fixed_count_ = 0;
    open_ = 0;
    return false;
}

bool Space::settle(Mask* state) {
    if (impossible_) return false;
    std::memset(state + cells_, 0, (state_size_ - cells_) * sizeof(Mask));
    const Parts parts = this->parts(state);
    for (int cell = 0; cell < cells_; ++cell) {
        if (state[cell] == 0) return fail(nullptr, 0);
        if (is_single(state[cell])) fixed_[fixed_count_++] = static_cast<std::uint16_t>(cell);
        parts.undecided[cell / 64] |= std::uint64_t{1} << (cell % 64);
        for (unsigned left = state[cell]; left; left &= left - 1) {
            const int digit = lowest(left);
            parts.boards[digit * words_ + cell / 64] |= std::uint64_t{1} << (cell % 64);
            for (int i = cell * width_; i < (cell + 1) * width_; ++i) parts.planes[digit * lanes_ * stride_ + slots_[i].word] |= slots_[i].bit;
        }
    }
    open_ = housed_;
    wake_lines(0);
    if (!propagate(state)) return false;
    if (!underived_ || std::none_of(parts.undecided, parts.undecided + words_, std::identity{})) return true;
    const int known = static_cast<int>(lines_.size());
    if (!derive()) return true;
    wake_lines(known);
    return propagate(state);
}

void Space::wake_lines(int first) {
    for (int line = first; line < static_cast<int>(lines_.size()); ++line) dirty_[line / 64] |= std::uint64_t{1} << (line % 64);
}

template <Space::Fit F>
inline void Space::wake(int cell) {
    if constexpr (F != Fit::any) {
        dirty_[0] |= watch_[cell];
    } else {
        const std::uint64_t* row = watch_.data() + static_cast<std::size_t>(cell) * watch_words_;
        for (int w = 0; w < watch_words_; ++w) dirty_[w] |= row[w];
    }
}

// A cell keeps these of its digits, at least one: boards, planes and what must be looked at again follow.
template <Space::Fit F>
inline void Space::take(const Parts& parts, int cell, Mask kept) {
    const Mask gone = parts.held[cell] & static_cast<Mask>(~kept);
    parts.held[cell] = kept;
    open_ |= gone & housed_;
    if (is_single(kept)) fixed_[fixed_count_++] = static_cast<std::uint16_t>(cell);
    wake<F>(cell);
    std::uint64_t* boards = parts.boards + cell / 64;
    const std::uint64_t bit = ~(std::uint64_t{1} << (cell % 64));
    const Sizes<F> size(*this);
    const Slot* slot = slots_.data() + cell * size.width;
    for (unsigned left = gone; left; left &= left - 1) {
        const int digit = lowest(left);
        boards[digit * size.words] &= bit;
        std::uint32_t* planes = parts.planes + digit * size.lanes * size.stride;
        for (int i = 0; i < size.width; ++i) planes[slot[i].word] &= ~slot[i].bit;
    }
}

// A cell holds its last digit: no cell that it sees can.
template <Space::Fit F>
inline bool Space::place(const Parts& parts, int cell) {
    const Mask digit = parts.held[cell];
    const Sizes<F> size(*this);
    const int d = lowest(digit);
    parts.undecided[cell / 64] &= ~(std::uint64_t{1} << (cell % 64));
    const std::uint64_t* sight = sight_.data() + static_cast<std::size_t>(cell) * size.words;
    std::uint64_t* board = parts.boards + d * size.words;
    std::uint32_t* planes = parts.planes + d * size.lanes * size.stride;
    const Slot* slots = slots_.data();
    for (int w = 0; w < size.words; ++w) {
        const std::uint64_t struck = sight[w] & board[w];
        board[w] ^= struck;
        for (std::uint64_t bits = struck; bits; bits &= bits - 1) {
            const int other = w * 64 + std::countr_zero(bits);
            const Mask kept = parts.held[other] & static_cast<Mask>(~digit);
            parts.held[other] = kept;
            if (!(kept & (kept - 1))) {
                if (kept == 0) {
                    weight_[cell] += kBlame / 2;
                    weight_[other] += kBlame / 2;
                    return fail(nullptr, 0);
                }
                fixed_[fixed_count_++] = static_cast<std::uint16_t>(other);
            }
            wake<F>(other);
            const Slot* slot = slots + other * size.width;
            for (int i = 0; i < size.width; ++i) planes[slot[i].word] &= ~slot[i].bit;
        }
    }
    if (houses_ == 0) return true;
    for (int lane = 0; lane < size.lanes; ++lane) planes[lane * size.stride + size.digits] |= homes_[cell * size.lanes + lane];
    open_ |= digit;
    return true;
}

// Finds the houses in which a digit has one place left, or none.
template <Space::Fit F>
inline bool Space::seek(const Parts& parts, int digit) {
    const Sizes<F> size(*this);
    for (int lane = 0; lane < size.lanes; ++lane) {
        const std::uint32_t* planes = parts.planes + (digit * size.lanes + lane) * size.stride;
        // Two halves, so that neither waits for the other.
        std::uint32_t once = 0, twice = 0, once2 = 0, twice2 = 0;
        int p = 0;
        for (; p + 1 < size.digits; p += 2) {
            twice |= once & planes[p];
            once |= planes[p];
            twice2 |= once2 & planes[p + 1];
            once2 |= planes[p + 1];
        }
        if (p < size.digits) {
            twice |= once & planes[p];
            once |= planes[p];
        }
        twice |= twice2 | (once & once2);
        once |= once2;
        if (const std::uint32_t none = all_houses_[lane] & ~once) {
            return fail(house_cells_.data() + (lane * 32 + std::countr_zero(none)) * size.digits, size.digits);
        }
        for (std::uint32_t alone = once & ~(twice | planes[size.digits]); alone; alone &= alone - 1) {
            stand<F>(parts, lane * 32 + std::countr_zero(alone), digit);
        }
    }
    return true;
}

// The digit has one place left in the house, if it has not lost that meanwhile.
template <Space::Fit F>
inline void Space::stand(const Parts& parts, int house, int digit) {
    const Sizes<F> size(*this);
    const std::uint8_t* cells = house_cells_.data() + house * size.digits;
    for (int place = 0; place < size.digits; ++place) {
        const Mask held = parts.held[cells[place]];
        if (!(held >> digit & 1)) continue;
        if (held & (held - 1)) take<F>(parts, cells[place], static_cast<Mask>(1u << digit));
        return;
    }
}

// A table takes longer to build than an easy puzzle to solve, so on whole problems a line gets one when it has
// been run often enough to pay for it.
void Space::strengthen(Line& line) {
    const std::lock_guard lock(model_.guard_);
    line.propagator = model_.propagator(line.shape, line.seen).propagator;
}

template <Space::Fit F>
bool Space::run(const Parts& parts, int number) {
    Line& line = lines_[number];
    dirty_[number / 64] &= ~(std::uint64_t{1} << (number % 64));
    if (line.patience && --line.patience == 0) strengthen(line);
    std::array<Mask, kMostCells> held;
    const std::uint8_t* cells = scope_.data() + line.first;
    const int arity = line.arity;
    for (int i = 0; i < arity; ++i) held[i] = parts.held[cells[i]];
    if (!line.propagator->filter(held.data())) return fail(cells, arity);
    for (int i = 0; i < arity; ++i) {
        const Mask kept = parts.held[cells[i]] & held[i];
        if (kept == parts.held[cells[i]]) continue;
        if (kept == 0) return fail(cells, arity);
        take<F>(parts, cells[i], kept);
    }
    // Only an exact propagator has nothing more to say after its own changes.
    if (line.exact) dirty_[number / 64] &= ~(std::uint64_t{1} << (number % 64));
    return true;
}

// The first line that must run among these, -1 if none.
inline int Space::dirty_line(int from, int to) const {
    for (int at = from; at < to; at = (at | 63) + 1) {
        if (const std::uint64_t word = dirty_[at / 64] >> (at % 64)) {
            const int line = at + std::countr_zero(word);
            return line < to ? line : -1;
        }
    }
    return -1;
}

// The line to run next, -1 if all are at rest: each in its turn, derived ones after the others. If the first always
// came first, it would fail most often and weigh more than it should: a quarter more nodes on long searches.
inline int Space::next_line() {
    int line = dirty_line(turn_, stated_);
    if (line < 0) line = dirty_line(0, turn_);
    if (line < 0) return dirty_line(stated_, static_cast<int>(lines_.size()));
    turn_ = line + 1;
    return line;
}

template <Space::Fit F>
bool Space::rest(Mask* state) {
    const Parts parts = this->parts(state);
    for (;;) {
        if (fixed_count_) {
            if (!place<F>(parts, fixed_[--fixed_count_])) return false;
        } else if (open_) {
            const int digit = lowest(open_);
            open_ &= open_ - 1;
            if (!seek<F>(parts, digit)) return false;
        } else {
            const int line = next_line();
            if (line < 0) return true;
            if (!run<F>(parts, line)) return false;
        }
    }
}

bool Space::narrow(Mask* state, int cell, Mask kept) {
    take<Fit::any>(parts(state), cell, kept);
    return propagate(state);
}

bool Space::propagate(Mask* state) {
    switch (fit_) {
        case Fit::nine: return rest<Fit::nine>(state);
        case Fit::usual: return rest<Fit::usual>(state);
        default: return rest<Fit::any>(state);
    }
}

}  // namespace saywhy
