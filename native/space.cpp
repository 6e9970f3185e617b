#include "space.h"

#include <algorithm>
#include <numeric>
#include <stdexcept>
#include <string>

#include "different.h"

namespace saywhy {

void Space::open(std::span<const int> primitives, bool whole) {
    const std::lock_guard lock(model_.guard_);
    open_locked(primitives, whole);
}

void Space::open_all() {
    const std::lock_guard lock(model_.guard_);
    std::vector<int> all(model_.closed_at_ < 0 ? model_.primitives_.size() : model_.closed_at_);
    std::iota(all.begin(), all.end(), 0);
    open_locked(all, true);
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
        std::uint64_t* row = sight_.data() + static_cast<std::size_t>(local_[a]) * sight_words_;
        for (const int b : cells) {
            if (a != b) row[local_[b] / 64] |= std::uint64_t{1} << (local_[b] % 64);
        }
    }
}

void Space::open_locked(std::span<const int> primitives, bool whole) {
    n_ = model_.n_;
    cells_ = 0;
    local_.fill(-1);
    global_.clear();
    lines_.clear();
    cliques_.clear();
    scope_.clear();
    fixed_.clear();
    if (whole) {
        for (int cell = 0; cell < model_.cells_; ++cell) number(cell);
    }
    for (const int id : primitives) {
        if (id < 0 || id >= static_cast<int>(model_.primitives_.size())) {
            throw std::out_of_range("primitive " + std::to_string(id) + " is not of this model");
        }
        for (const int cell : model_.primitives_[id].cells) number(cell);
    }
    sight_words_ = (cells_ + 63) / 64;
    sight_.assign(static_cast<std::size_t>(cells_) * sight_words_, 0);

    // Cliques first, since what a line can know of its cells depends on them.
    std::vector<std::pair<int, int>> pairs;
    for (const int id : primitives) {
        const Primitive& primitive = model_.primitives_[id];
        if (primitive.kind != Kind::different || primitive.cells.size() < 3) continue;
        add_sight(primitive.cells);
        const int count = static_cast<int>(primitive.cells.size());
        cliques_.push_back({static_cast<int>(scope_.size()), count, count == n_});
        for (const int cell : primitive.cells) scope_.push_back(static_cast<std::uint8_t>(local_[cell]));
    }
    for (const int id : primitives) {
        const Primitive& primitive = model_.primitives_[id];
        if (primitive.kind != Kind::different || primitive.cells.size() != 2) continue;
        const int a = local_[primitive.cells[0]], b = local_[primitive.cells[1]];
        if (sighted(a, b)) continue;
        add_sight(primitive.cells);
        pairs.emplace_back(a, b);
    }
    apart_first_.assign(cells_ + 1, 0);
    for (const auto& [a, b] : pairs) ++apart_first_[a + 1], ++apart_first_[b + 1];
    for (int cell = 0; cell < cells_; ++cell) apart_first_[cell + 1] += apart_first_[cell];
    apart_.resize(apart_first_[cells_]);
    std::vector<int> at(apart_first_.begin(), apart_first_.end());
    for (const auto& [a, b] : pairs) {
        apart_[at[a]++] = static_cast<std::uint8_t>(b);
        apart_[at[b]++] = static_cast<std::uint8_t>(a);
    }

    int sharp = 0;  // lines that know which of their cells see each other
    for (const int id : primitives) {
        const Primitive& primitive = model_.primitives_[id];
        if (primitive.kind == Kind::different) continue;
        const int arity = static_cast<int>(primitive.cells.size());
        Seen seen = 0;
        bool repeats = false;
        for (int j = 0; j < arity; ++j) {
            const int b = local_[primitive.cells[j]];
            for (int i = 0; i < j; ++i) {
                const int a = local_[primitive.cells[i]];
                repeats |= a == b;
                if (j < kSeenPlaces && sighted(a, b)) seen |= Seen{1} << pair_bit(i, j);
            }
        }
        const Model::Choice choice = model_.propagator(primitive.shape, seen);
        sharp += choice.knows_sight;
        lines_.push_back({choice.propagator, static_cast<int>(scope_.size()), arity, choice.propagator->exact() && !repeats});
        for (const int cell : primitive.cells) scope_.push_back(static_cast<std::uint8_t>(local_[cell]));
    }
    watch_all();
    const bool differs = !cliques_.empty() || !pairs.empty();
    rest_is_exact_ = (lines_.size() == 1 && !differs && lines_[0].exact) ||
                     (lines_.size() == 1 && sharp == 1 && lines_[0].exact && cells_ == lines_[0].arity) ||
                     (lines_.empty() && cliques_.empty() && pairs.size() == 1);
}

void Space::watch_all() {
    const int bits = static_cast<int>(lines_.size() + cliques_.size());
    watch_words_ = (bits + 63) / 64;
    watch_.assign(static_cast<std::size_t>(cells_) * watch_words_, 0);
    dirty_.assign(watch_words_, 0);
    weight_.assign(cells_, 1.0f);
    const auto watch = [this](int bit, int first, int count) {
        for (int i = first; i < first + count; ++i) {
            watch_[static_cast<std::size_t>(scope_[i]) * watch_words_ + bit / 64] |= std::uint64_t{1} << (bit % 64);
            weight_[scope_[i]] += 1.0f;
        }
    };
    int bit = 0;
    for (const Line& line : lines_) watch(bit++, line.first, line.arity);
    for (const Clique& clique : cliques_) watch(bit++, clique.first, clique.count);
}

void Space::gather(std::span<const Mask> all, Mask* domains) const {
    const Mask full = full_mask(n_);
    for (int cell = 0; cell < cells_; ++cell) domains[cell] = all[global_[cell]] & full;
}

void Space::scatter(const Mask* domains, std::span<Mask> all) const {
    for (int cell = 0; cell < cells_; ++cell) all[global_[cell]] = domains[cell];
}

bool Space::fail(int first, int count) {
    for (int i = first; i < first + count; ++i) weight_[scope_[i]] += 1.0f;
    std::fill(dirty_.begin(), dirty_.end(), 0);
    fixed_.clear();
    return false;
}

bool Space::settle(Mask* domains) {
    fixed_.clear();
    for (int cell = 0; cell < cells_; ++cell) {
        if (domains[cell] == 0) return fail(0, 0);
        touch(cell, domains);
    }
    return propagate(domains);
}

bool Space::part_fixed(Mask* domains) {
    while (!fixed_.empty()) {
        const int cell = fixed_.back();
        fixed_.pop_back();
        const Mask digit = domains[cell];
        for (int i = apart_first_[cell]; i < apart_first_[cell + 1]; ++i) {
            const int other = apart_[i];
            if (!(domains[other] & digit)) continue;
            domains[other] &= static_cast<Mask>(~digit);
            if (domains[other] == 0) {
                weight_[cell] += 1.0f;
                weight_[other] += 1.0f;
                return fail(0, 0);
            }
            touch(other, domains);
        }
    }
    return true;
}

bool Space::run_line(const Line& line, int bit, Mask* domains) {
    std::array<Mask, kMostCells> held;
    const std::uint8_t* cells = scope_.data() + line.first;
    for (int i = 0; i < line.arity; ++i) held[i] = domains[cells[i]];
    if (!line.propagator->filter(held.data())) return fail(line.first, line.arity);
    for (int i = 0; i < line.arity; ++i) {
        const Mask kept = domains[cells[i]] & held[i];
        if (kept == domains[cells[i]]) continue;
        domains[cells[i]] = kept;
        if (kept == 0) return fail(line.first, line.arity);
        touch(cells[i], domains);
    }
    // Only an exact propagator has nothing more to say after its own changes.
    if (line.exact) dirty_[bit / 64] &= ~(std::uint64_t{1} << (bit % 64));
    return true;
}

bool Space::run_clique(const Clique& clique, Mask* domains) {
    const std::uint8_t* cells = scope_.data() + clique.first;
    const Different found = look_at(domains, cells, clique.count, clique.house ? full_mask(n_) : Mask{0});
    if (!found.possible) return fail(clique.first, clique.count);
    if (!found.work) return true;
    for (int i = 0; i < clique.count; ++i) {
        const int cell = cells[i];
        const Mask before = domains[cell];
        if (is_single(before)) continue;
        Mask after = before & static_cast<Mask>(~found.placed);
        if (const Mask alone = after & found.alone; alone != 0) {
            if (!is_single(alone)) return fail(clique.first, clique.count);
            after = alone;
        }
        if (after == before) continue;
        domains[cell] = after;
        if (after == 0) return fail(clique.first, clique.count);
        touch(cell, domains);
    }
    return true;
}

bool Space::propagate(Mask* domains) {
    const int lines = static_cast<int>(lines_.size());
    for (;;) {
        if (!fixed_.empty() && !part_fixed(domains)) return false;
        int w = 0;
        while (w < watch_words_ && dirty_[w] == 0) ++w;
        if (w == watch_words_) return true;
        const int bit = w * 64 + std::countr_zero(dirty_[w]);
        dirty_[w] &= dirty_[w] - 1;
        const bool fine = bit < lines ? run_line(lines_[bit], bit, domains) : run_clique(cliques_[bit - lines], domains);
        if (!fine) return false;
    }
}

}  // namespace saywhy
