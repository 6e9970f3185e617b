#include "search.h"

#include <algorithm>
#include <cstring>

#include "alike.h"

namespace saywhy {

namespace {

// From so many undecided cells on a count is kept.
constexpr int kWorthKeeping = 6;
// After so many nodes, fillings alike to those found are worth a try.
constexpr std::uint64_t kLong = 500;

}  // namespace

bool Limits::spend() {
    if (out || used >= pause) return false;
    if (used >= nodes || (cancel && cancel->load(std::memory_order_relaxed))) return !(out = true);
    if (++used % 32 == 0) {
        if (deadline && std::chrono::steady_clock::now() >= *deadline) return !(out = true);
        if (used % 4096 == 0 && interrupted && interrupted()) return !(out = true);
    }
    return true;
}

Search::Search(Space& space, Limits& limits, std::uint64_t seed)
    : space_(space),
      limits_(limits),
      state_(seed ? seed * 0x9e3779b97f4a7c15u | 1 : 0),
      stride_(static_cast<int>(space.state_size())),
      stack_(std::make_unique_for_overwrite<Mask[]>(space.state_size() * (space.cells() + 2))),
      decisions_(space.cells() + 2) {}

// Marsaglia's xorshift: deterministic, and good enough to break ties.
std::uint64_t Search::random() {
    state_ ^= state_ << 13;
    state_ ^= state_ >> 7;
    state_ ^= state_ << 17;
    return state_;
}

int Search::choose(const Mask* domains) const {
    int best = -1;
    float best_size = 0, best_weight = 0;
    const std::uint64_t* undecided = space_.undecided(domains);
    for (int w = 0; w < space_.words(); ++w) {
        for (std::uint64_t bits = undecided[w]; bits; bits &= bits - 1) {
            const int cell = w * 64 + std::countr_zero(bits);
            const auto size = static_cast<float>(size_of(domains[cell]));
            const float weight = space_.weight(cell);
            if (best < 0 || size * best_weight < best_size * weight) {
                best = cell;
                best_size = size;
                best_weight = weight;
            }
        }
    }
    return best;
}

Mask Search::pick(Mask digits, Mask wanted) {
    if (digits & wanted) digits &= wanted;
    if (state_) {
        for (auto skip = random() % static_cast<unsigned>(size_of(digits)); skip; --skip) digits &= digits - 1;
    }
    return digits & static_cast<Mask>(-digits);
}

// Places a digit on a fresh level; false if it contradicts itself.
bool Search::descend(int& depth, int cell, Mask wanted) {
    const Mask* before = level(depth);
    const Mask digit = pick(before[cell], wanted);
    decisions_[depth] = {cell, digit};
    Mask* state = level(++depth);
    std::memcpy(state, before, sizeof(Mask) * stride_);
    return space_.narrow(state, cell, digit);
}

// Takes back decisions until one can be denied without contradiction; false when none is left.
bool Search::back_up(int& depth) {
    while (depth > 0) {
        const Decision refuted = decisions_[--depth];
        Mask* state = level(depth);
        if (space_.narrow(state, refuted.cell, state[refuted.cell] & static_cast<Mask>(~refuted.digit))) return true;
    }
    return false;
}

End Search::run(const Mask* settled, const std::function<bool(const Mask*)>& visit, const Mask* wanted) {
    std::memcpy(level(0), settled, sizeof(Mask) * stride_);
    int depth = 0;
    for (;;) {
        const int cell = choose(level(depth));
        if (cell < 0) {
            if (!visit(level(depth))) return End::enough;
        } else {
            if (!limits_.spend()) return End::stopped;
            if (descend(depth, cell, wanted ? wanted[cell] : Mask{0})) continue;
        }
        if (!back_up(depth)) return End::exhausted;
    }
}

End Search::count(const Mask* settled, std::uint64_t most, std::uint64_t& found) {
    std::memcpy(level(0), settled, sizeof(Mask) * stride_);
    Memo memo(space_.cells());
    stopped_ = false;
    found = tally(0, most, memo);
    return stopped_ ? End::stopped : found == most ? End::enough : End::exhausted;
}

// Counts the fillings of a level, up to `most`; uses the level up.
std::uint64_t Search::tally(int depth, std::uint64_t most, Memo& memo) {
    Mask* state = level(depth);
    std::array<Mask, kMostCells> key;
    std::uint64_t place = 0, found = 0;
    const bool kept = memo.pays() && space_.remainder(state, key.data()) >= kWorthKeeping;
    if (kept) {
        place = memo.place(key.data());
        if (const auto known = memo.find(place, key.data())) return std::min(*known, most);
    }
    for (;;) {
        const int cell = choose(state);
        if (cell < 0) {
            ++found;
            break;
        }
        if (!limits_.spend()) {
            stopped_ = true;
            return found;
        }
        const Mask digit = pick(state[cell], 0);
        std::memcpy(level(depth + 1), state, sizeof(Mask) * stride_);
        if (space_.narrow(level(depth + 1), cell, digit)) {
            found += tally(depth + 1, most - found, memo);
            if (stopped_ || found == most) return found;
        }
        if (!space_.narrow(state, cell, state[cell] & static_cast<Mask>(~digit))) break;
    }
    if (kept) memo.keep(place, key.data(), found);
    return found;
}

End Search::project(const Mask* settled, std::span<const int> cells, const std::function<bool(const Mask*)>& visit) {
    std::memcpy(level(0), settled, sizeof(Mask) * stride_);
    Search rest(space_, limits_);
    int depth = 0;
    for (;;) {
        const Mask* domains = level(depth);
        int cell = -1;
        for (const int candidate : cells) {
            if (!is_single(domains[candidate]) && (cell < 0 || size_of(domains[candidate]) < size_of(domains[cell]))) {
                cell = candidate;
            }
        }
        if (cell < 0) {
            const End end = rest.run(domains, [](const Mask*) { return false; });
            if (end == End::stopped) return End::stopped;
            if (end == End::enough && !visit(domains)) return End::enough;
        } else {
            if (!limits_.spend()) return End::stopped;
            if (descend(depth, cell, 0)) continue;
        }
        if (!back_up(depth)) return End::exhausted;
    }
}

// A filling found is a witness for every digit in it, so most digits never get a search of their own. Hard
// questions are put off: each round allows every open digit more nodes than the last.
bool support(Space& space, Mask* domains, Limits& limits, std::uint64_t seed) {
    const int cells = space.cells();
    const auto none = [&] {
        std::fill(domains, domains + cells, Mask{0});
        return true;
    };
    if (!space.settle(domains)) return none();
    if (space.rest_is_exact()) return true;
    std::array<Mask, kMostCells> open;
    std::copy(domains, domains + cells, open.begin());
    std::vector<Mask> trial(space.state_size());
    std::optional<Alike> alike;
    const auto witness = [&](const Mask* filling) {
        for (int cell = 0; cell < cells; ++cell) open[cell] &= static_cast<Mask>(~filling[cell]);
        if (!alike && limits.used > kLong) alike.emplace(space);
        if (alike) alike->witness(filling, domains, open.data());
        return false;
    };
    Search search(space, limits, seed);
    // A filling takes up to a node a cell, and half of that again where the search goes astray now and then.
    for (std::uint64_t allowance = 64 + 2 * static_cast<std::uint64_t>(cells);; allowance *= 4) {
        bool waiting = false;
        for (int cell = 0; cell < cells; ++cell) {
            for (unsigned left = open[cell]; left; left &= (left - 1) & open[cell]) {
                const auto digit = static_cast<Mask>(left & -left);
                std::copy(domains, domains + space.state_size(), trial.begin());
                if (domains[cell] == digit || space.narrow(trial.data(), cell, digit)) {
                    limits.pause = limits.used + allowance;
                    const End end = search.run(trial.data(), witness, open.data());
                    limits.pause = UINT64_MAX;
                    if (limits.out) return false;
                    if (end == End::stopped) waiting = true;
                    if (end != End::exhausted) continue;
                }
                open[cell] &= static_cast<Mask>(~digit);
                const Mask kept = domains[cell] & static_cast<Mask>(~digit);
                if (kept == 0 || !space.narrow(domains, cell, kept)) return none();
                for (int c = 0; c < cells; ++c) open[c] &= domains[c];
            }
        }
        if (!waiting) return true;
    }
}

}  // namespace saywhy
