#include "regular.h"

#include <algorithm>
#include <array>

namespace saywhy {

Regular::Regular(int n, int arity, const std::vector<int>& moves, const std::vector<bool>& accepting, bool permutation)
    : n_(n), arity_(arity), permutation_(permutation) {
    for (int d = 0; d < n && permutation; ++d) {
        weights_[d] = (1 << d) % 61;
        total_ = (total_ + weights_[d]) % 64;
    }
    const int states = static_cast<int>(accepting.size());
    std::vector<std::vector<bool>> useful(arity + 1, std::vector<bool>(states, false));
    useful[0][0] = true;
    for (int i = 0; i < arity; ++i) {
        for (int s = 0; s < states; ++s) {
            if (!useful[i][s]) continue;
            for (int d = 0; d < n; ++d) {
                if (const int t = moves[static_cast<std::size_t>(s) * n + d]; t >= 0) useful[i + 1][t] = true;
            }
        }
    }
    for (int s = 0; s < states; ++s) useful[arity][s] = useful[arity][s] && accepting[s];
    for (int i = arity - 1; i >= 0; --i) {
        for (int s = 0; s < states; ++s) {
            if (!useful[i][s]) continue;
            bool ends = false;
            for (int d = 0; d < n && !ends; ++d) {
                const int t = moves[static_cast<std::size_t>(s) * n + d];
                ends = t >= 0 && useful[i + 1][t];
            }
            useful[i][s] = ends;
        }
    }
    possible_ = useful[0][0];
    std::vector<std::vector<int>> number(arity + 1, std::vector<int>(states, -1));
    layers_.resize(arity + 1);
    for (int i = 0; i <= arity; ++i) {
        for (int s = 0; s < states; ++s) {
            if (useful[i][s]) number[i][s] = layers_[i].states++;
        }
        layers_[i].first = states_;
        states_ += layers_[i].states;
    }
    for (int i = 0; i < arity; ++i) {
        layers_[i].next.assign(static_cast<std::size_t>(layers_[i].states) * n, kNone);
        for (int s = 0; s < states; ++s) {
            if (!useful[i][s]) continue;
            for (int d = 0; d < n; ++d) {
                const int t = moves[static_cast<std::size_t>(s) * n + d];
                if (t >= 0 && useful[i + 1][t]) {
                    layers_[i].next[static_cast<std::size_t>(number[i][s]) * n + d] =
                        static_cast<std::uint16_t>(number[i + 1][t]);
                }
            }
        }
    }
}

namespace {

// With which totals of weights a state is reached; without weights, whether.
struct Totals {
    std::uint64_t bits = 0;
    bool any() const { return bits != 0; }
    void start() { bits = 1; }
    void end(int total) { bits &= std::uint64_t{1} << total; }
    void add(const Totals& from, int, int weight) { bits |= std::rotl(from.bits, weight); }
    static Totals before(const Totals& to, const Totals& within, int, int weight) {
        return {std::rotr(to.bits, weight) & within.bits};
    }
    void join(const Totals& other) { bits |= other.bits; }
};

// With which sets of digits a state is reached.
template <int Words>
struct Used {
    Sets<Words> sets;
    bool any() const { return sets.any(); }
    void start() { sets.insert(0); }
    void end(int) {}  // as many digits as places: the set can only be the whole
    void add(const Used& from, int digit, int) { sets.add_with(from.sets, digit); }
    static Used before(const Used& to, const Used& within, int digit, int) {
        return {Sets<Words>::before(to.sets, within.sets, digit)};
    }
    void join(const Used& other) { sets |= other.sets; }
};

}  // namespace

template <class Reached>
bool Regular::sweep(Mask* domains) const {
    constexpr int kShort = 256;
    std::array<Reached, kShort> near;
    std::vector<Reached> far;
    Reached* reached = near.data();
    if (states_ > kShort) {
        far.resize(states_);
        reached = far.data();
    }
    reached[0].start();
    for (int i = 0; i < arity_; ++i) {
        const Layer& layer = layers_[i];
        const Reached* from = reached + layer.first;
        Reached* to = reached + layers_[i + 1].first;
        const std::uint16_t* next = layer.next.data();
        for (int s = 0; s < layer.states; ++s, next += n_) {
            if (!from[s].any()) continue;
            for (unsigned left = domains[i]; left; left &= left - 1) {
                const int digit = lowest(left);
                if (next[digit] != kNone) to[next[digit]].add(from[s], digit, weights_[digit]);
            }
        }
    }
    // Backwards: of that with which a state is reached, what can still come to a good end.
    const Layer& last = layers_[arity_];
    for (int s = 0; s < last.states; ++s) reached[last.first + s].end(total_);
    for (int i = arity_ - 1; i >= 0; --i) {
        const Layer& layer = layers_[i];
        Reached* from = reached + layer.first;
        const Reached* to = reached + layers_[i + 1].first;
        const std::uint16_t* next = layer.next.data();
        const unsigned held = domains[i];
        Mask kept = 0;
        for (int s = 0; s < layer.states; ++s, next += n_) {
            if (!from[s].any()) continue;
            Reached ending;
            for (unsigned left = held; left; left &= left - 1) {
                const int digit = lowest(left);
                if (next[digit] == kNone) continue;
                const Reached through = Reached::before(to[next[digit]], from[s], digit, weights_[digit]);
                if (through.any()) kept |= static_cast<Mask>(left & -left);
                ending.join(through);
            }
            from[s] = ending;
        }
        if (kept == 0) return false;
        domains[i] = kept;
    }
    return true;
}

bool Regular::filter(Mask* domains) const {
    if (!possible_) return false;
    if (!knows_sets()) return sweep<Totals>(domains);
    switch (set_words(n_)) {
        case 1: return sweep<Used<1>>(domains);
        case 2: return sweep<Used<2>>(domains);
        case 4: return sweep<Used<4>>(domains);
        default: return sweep<Used<8>>(domains);
    }
}

std::optional<Tuples> Regular::fillings(Seen seen, std::size_t limit) const {
    Tuples found{arity_, {}};
    if (!possible_) return found;
    if (arity_ > kSeenPlaces) return std::nullopt;
    std::array<std::uint8_t, kSeenPlaces> digits{};
    std::size_t visited = 0;
    const auto extend = [&](const auto& self, int i, int state) -> bool {
        if (++visited > 8 * limit) return false;
        if (i == arity_) {
            if (found.count() == limit) return false;
            found.digits.insert(found.digits.end(), digits.begin(), digits.begin() + arity_);
            return true;
        }
        for (int d = 0; d < n_; ++d) {
            const std::uint16_t next = layers_[i].next[static_cast<std::size_t>(state) * n_ + d];
            if (next == kNone) continue;
            bool clash = false;
            for (int j = 0; j < i && !clash; ++j) clash = digits[j] == d && sees(seen, j, i);
            if (clash) continue;
            digits[i] = static_cast<std::uint8_t>(d);
            if (!self(self, i + 1, next)) return false;
        }
        return true;
    };
    if (!extend(extend, 0, 0)) return std::nullopt;
    return found;
}

}  // namespace saywhy
