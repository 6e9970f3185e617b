#include "regular.h"

#include <array>
#include <functional>

namespace saywhy {

Regular::Regular(int n, int arity, const std::vector<int>& moves, const std::vector<bool>& accepting)
    : n_(n), arity_(arity) {
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
        layers_[i].first = words_;
        words_ += (layers_[i].states + 63) / 64;
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

bool Regular::filter(Mask* domains) const {
    if (!possible_) return false;
    constexpr int kShort = 256;
    std::array<std::uint64_t, kShort> near;
    std::vector<std::uint64_t> far;
    std::uint64_t* live = near.data();
    if (words_ > kShort) {
        far.resize(words_);
        live = far.data();
    }
    for (int w = 0; w < words_; ++w) live[w] = 0;
    live[0] = 1;
    for (int i = 0; i < arity_; ++i) {
        const Layer& layer = layers_[i];
        std::uint64_t* to = live + layers_[i + 1].first;
        const int words = layers_[i + 1].first - layer.first;
        for (int w = 0; w < words; ++w) {
            for (std::uint64_t bits = live[layer.first + w]; bits; bits &= bits - 1) {
                const std::uint16_t* next = layer.next.data() + (w * 64 + std::countr_zero(bits)) * n_;
                for (unsigned left = domains[i]; left; left &= left - 1) {
                    const unsigned t = next[lowest(left)];
                    if (t != kNone) to[t / 64] |= std::uint64_t{1} << (t % 64);
                }
            }
        }
    }
    for (int i = arity_ - 1; i >= 0; --i) {
        const Layer& layer = layers_[i];
        const std::uint64_t* to = live + layers_[i + 1].first;
        const int words = layers_[i + 1].first - layer.first;
        const unsigned held = domains[i];
        Mask kept = 0;
        for (int w = 0; w < words; ++w) {
            std::uint64_t ending = 0;
            for (std::uint64_t bits = live[layer.first + w]; bits; bits &= bits - 1) {
                const std::uint16_t* next = layer.next.data() + (w * 64 + std::countr_zero(bits)) * n_;
                Mask leading = 0;
                for (unsigned left = held; left; left &= left - 1) {
                    const unsigned t = next[lowest(left)];
                    if (t != kNone && (to[t / 64] >> (t % 64) & 1)) leading |= static_cast<Mask>(left & -left);
                }
                if (leading) ending |= bits & -bits;
                kept |= leading;
            }
            live[layer.first + w] = ending;
        }
        if (kept == 0) return false;
        domains[i] = kept;
    }
    return true;
}

std::optional<Tuples> Regular::fillings(Seen seen, std::size_t limit) const {
    Tuples found{arity_, {}};
    if (!possible_) return found;
    if (arity_ > kSeenPlaces) return std::nullopt;
    std::array<std::uint8_t, kSeenPlaces> digits{};
    std::size_t visited = 0;
    const std::function<bool(int, int)> extend = [&](int i, int state) -> bool {
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
            if (!extend(i + 1, next)) return false;
        }
        return true;
    };
    if (!extend(0, 0)) return std::nullopt;
    return found;
}

}  // namespace saywhy
