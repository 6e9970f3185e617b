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
    std::array<std::uint64_t, kMostCells / 64> all{};
    for (const int cell : cells) all[local_[cell] / 64] |= std::uint64_t{1} << (local_[cell] % 64);
    for (const int cell : cells) {
        std::uint64_t* row = sight_.data() + static_cast<std::size_t>(local_[cell]) * words_;
        for (int w = 0; w < words_; ++w) row[w] |= all[w];
        row[local_[cell] / 64] &= ~(std::uint64_t{1} << (local_[cell] % 64));
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
    housed_ = houses_ ? full_mask(n_) : Mask{0};
    lanes_ = (houses_ + 31) / 32;
    planes_ = n_ * lanes_;
    undecided_at_ = (cells_ + 3) / 4 * 4;
    boards_at_ = undecided_at_ + static_cast<std::size_t>(words_) * 4;
    planes_at_ = boards_at_ + static_cast<std::size_t>(n_) * words_ * 4;
    state_size_ = (planes_at_ + static_cast<std::size_t>(n_) * (planes_ + lanes_) * 2 + 3) / 4 * 4;

    weight_.assign(cells_, 1.0f);
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
    usual_ = words_ == 2 && lanes_ <= 1 && watch_words_ <= 1;
    lay_out_houses();
    fixed_count_ = 0;
    open_ = 0;
}

void Space::lay_out_houses() {
    for (const int cell : house_cells_) weight_[cell] += 1.0f;
    all_houses_.assign(lanes_, 0);
    for (int house = 0; house < houses_; ++house) all_houses_[house / 32] |= std::uint32_t{1} << (house % 32);
    slots_first_.assign(cells_ + 1, 0);
    for (const int cell : house_cells_) ++slots_first_[cell + 1];
    for (int cell = 0; cell < cells_; ++cell) slots_first_[cell + 1] += slots_first_[cell];
    std::vector<int> next(slots_first_.begin(), slots_first_.end());
    slots_.resize(house_cells_.size());
    for (int i = 0; i < static_cast<int>(house_cells_.size()); ++i) {
        const int house = i / n_, place = i % n_;
        slots_[next[house_cells_[i]]++] = {static_cast<std::uint16_t>(place * lanes_ + house / 32), std::uint32_t{1} << (house % 32)};
    }
    homes_.assign(static_cast<std::size_t>(cells_) * lanes_, 0);
    for (int i = 0; i < static_cast<int>(house_cells_.size()); ++i) {
        const int house = i / n_;
        homes_[house_cells_[i] * lanes_ + house / 32] |= std::uint32_t{1} << (house % 32);
    }
    // House by house, since all its cells strike the same places but their own; what else is seen, cell by cell.
    kept_.assign(houses_ ? static_cast<std::size_t>(cells_) * planes_ : 0, 0);
    std::vector<std::uint64_t> beyond(houses_ ? sight_ : std::vector<std::uint64_t>{});
    std::vector<std::uint32_t> struck(planes_);
    for (int house = 0; house < houses_; ++house) {
        const std::uint8_t* cells = house_cells_.data() + house * n_;
        std::array<std::uint64_t, kMostCells / 64> all{};
        std::ranges::fill(struck, 0);
        for (int i = 0; i < n_; ++i) {
            all[cells[i] / 64] |= std::uint64_t{1} << (cells[i] % 64);
            for (int s = slots_first_[cells[i]]; s < slots_first_[cells[i] + 1]; ++s) struck[slots_[s].word] |= slots_[s].bit;
        }
        for (int i = 0; i < n_; ++i) {
            std::uint32_t* kept = kept_.data() + static_cast<std::size_t>(cells[i]) * planes_;
            for (int p = 0; p < planes_; ++p) kept[p] |= struck[p];
            for (int w = 0; w < words_; ++w) beyond[static_cast<std::size_t>(cells[i]) * words_ + w] &= ~all[w];
        }
    }
    for (int cell = 0; cell < cells_ && houses_; ++cell) {
        std::uint32_t* kept = kept_.data() + static_cast<std::size_t>(cell) * planes_;
        for (int w = 0; w < words_; ++w) {
            for (std::uint64_t bits = beyond[static_cast<std::size_t>(cell) * words_ + w]; bits; bits &= bits - 1) {
                const int other = w * 64 + std::countr_zero(bits);
                for (int s = slots_first_[other]; s < slots_first_[other + 1]; ++s) kept[slots_[s].word] |= slots_[s].bit;
            }
        }
        for (int s = slots_first_[cell]; s < slots_first_[cell + 1]; ++s) kept[slots_[s].word] &= ~slots_[s].bit;
        for (int p = 0; p < planes_; ++p) kept[p] = ~kept[p];
    }
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
            std::uint32_t* planes = parts.planes + digit * (planes_ + lanes_);
            for (int i = slots_first_[cell]; i < slots_first_[cell + 1]; ++i) planes[slots_[i].word] |= slots_[i].bit;
        }
    }
    open_ = housed_;
    for (int line = 0; line < static_cast<int>(lines_.size()); ++line) dirty_[line / 64] |= std::uint64_t{1} << (line % 64);
    return propagate(state);
}

template <bool Usual>
inline void Space::wake(int cell) {
    if constexpr (Usual) {
        dirty_[0] |= watch_[cell];
    } else {
        const std::uint64_t* row = watch_.data() + static_cast<std::size_t>(cell) * watch_words_;
        for (int w = 0; w < watch_words_; ++w) dirty_[w] |= row[w];
    }
}

// A cell keeps these of its digits, at least one: boards, planes and what must be looked at again follow.
template <bool Usual>
inline void Space::take(const Parts& parts, int cell, Mask kept) {
    const Mask gone = parts.held[cell] & static_cast<Mask>(~kept);
    parts.held[cell] = kept;
    open_ |= gone & housed_;
    if (is_single(kept)) fixed_[fixed_count_++] = static_cast<std::uint16_t>(cell);
    wake<Usual>(cell);
    std::uint64_t* boards = parts.boards + cell / 64;
    const std::uint64_t bit = ~(std::uint64_t{1} << (cell % 64));
    const Slot* first = slots_.data() + slots_first_[cell];
    const Slot* last = slots_.data() + slots_first_[cell + 1];
    const int words = Usual ? 2 : words_, stride = planes_ + lanes_;
    for (unsigned left = gone; left; left &= left - 1) {
        const int digit = lowest(left);
        boards[digit * words] &= bit;
        std::uint32_t* planes = parts.planes + digit * stride;
        for (const Slot* slot = first; slot != last; ++slot) planes[slot->word] &= ~slot->bit;
    }
}

// A cell holds its last digit: no cell that it sees can.
template <bool Usual>
inline bool Space::place(const Parts& parts, int cell) {
    const Mask digit = parts.held[cell];
    const int words = Usual ? 2 : words_, lanes = Usual ? 1 : lanes_;
    const int d = lowest(digit);
    parts.undecided[cell / 64] &= ~(std::uint64_t{1} << (cell % 64));
    const std::uint64_t* sight = sight_.data() + static_cast<std::size_t>(cell) * words;
    std::uint64_t* board = parts.boards + d * words;
    for (int w = 0; w < words; ++w) {
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
            wake<Usual>(other);
        }
    }
    if (houses_ == 0) return true;
    std::uint32_t* planes = parts.planes + d * (planes_ + lanes_);
    const std::uint32_t* kept = kept_.data() + static_cast<std::size_t>(cell) * planes_;
    for (int p = 0; p < planes_; ++p) planes[p] &= kept[p];
    for (int lane = 0; lane < lanes; ++lane) planes[planes_ + lane] |= homes_[cell * lanes + lane];
    open_ |= digit;
    return true;
}

// Finds the houses in which a digit has one place left, or none.
template <bool Usual>
inline bool Space::seek(const Parts& parts, int digit) {
    const int lanes = Usual ? 1 : lanes_;
    const std::uint32_t* planes = parts.planes + digit * (planes_ + lanes_);
    for (int lane = 0; lane < lanes; ++lane) {
        std::uint32_t once = 0, twice = 0;
        for (int p = lane; p < planes_; p += lanes) {
            twice |= once & planes[p];
            once |= planes[p];
        }
        if (const std::uint32_t none = all_houses_[lane] & ~once) {
            const int house = lane * 32 + std::countr_zero(none);
            return fail(house_cells_.data() + house * n_, n_);
        }
        for (std::uint32_t alone = once & ~(twice | planes[planes_ + lane]); alone; alone &= alone - 1) {
            const int house = lane * 32 + std::countr_zero(alone);
            const std::uint8_t* cells = house_cells_.data() + house * n_;
            for (int place = 0; place < n_; ++place) {
                const Mask held = parts.held[cells[place]];
                if (!(held >> digit & 1)) continue;
                if (held & (held - 1)) take<Usual>(parts, cells[place], static_cast<Mask>(1u << digit));
                break;
            }
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

template <bool Usual>
bool Space::run(const Parts& parts, int number) {
    Line& line = lines_[number];
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
        take<Usual>(parts, cells[i], kept);
    }
    // Only an exact propagator has nothing more to say after its own changes.
    if (line.exact) dirty_[number / 64] &= ~(std::uint64_t{1} << (number % 64));
    return true;
}

template <bool Usual>
bool Space::rest(Mask* state) {
    const Parts parts = this->parts(state);
    for (;;) {
        if (fixed_count_) {
            if (!place<Usual>(parts, fixed_[--fixed_count_])) return false;
        } else if (open_) {
            const int digit = lowest(open_);
            open_ &= open_ - 1;
            if (!seek<Usual>(parts, digit)) return false;
        } else {
            int w = 0;
            if (Usual) {
                if (dirty_[0] == 0) return true;
            } else {
                while (w < watch_words_ && dirty_[w] == 0) ++w;
                if (w == watch_words_) return true;
            }
            const int line = w * 64 + std::countr_zero(dirty_[w]);
            dirty_[w] &= dirty_[w] - 1;
            if (!run<Usual>(parts, line)) return false;
        }
    }
}

bool Space::narrow(Mask* state, int cell, Mask kept) {
    take<false>(parts(state), cell, kept);
    return propagate(state);
}

bool Space::propagate(Mask* state) { return usual_ ? rest<true>(state) : rest<false>(state); }

}  // namespace saywhy
