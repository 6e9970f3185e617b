#include "linear.h"

#include <array>
#include <cstdlib>

namespace saywhy {

Linear::Linear(int n, const std::vector<int>& coefficients, long long total) : n_(n), target_(total) {
    long long most = 0;
    for (const int c : coefficients) {
        terms_.push_back({std::abs(c), c < 0});
        target_ -= c < 0 ? static_cast<long long>(c) * n : c;
        most += static_cast<long long>(std::abs(c)) * (n - 1);
    }
    possible_ = target_ >= 0 && target_ <= most;
    if (possible_ && target_ > most - target_) {
        target_ = most - target_;
        for (Term& term : terms_) term.reversed = !term.reversed;
    }
}

Mask Linear::turned(Mask digits, bool reversed) const {
    if (!reversed) return digits;
    unsigned m = digits;
    m = (m & 0x5555u) << 1 | (m >> 1 & 0x5555u);
    m = (m & 0x3333u) << 2 | (m >> 2 & 0x3333u);
    m = (m & 0x0f0fu) << 4 | (m >> 4 & 0x0f0fu);
    m = (m & 0x00ffu) << 8 | (m >> 8 & 0x00ffu);
    return static_cast<Mask>(m >> (16 - n_));
}

bool Linear::filter(Mask* domains) const {
    if (!possible_) return false;
    if (target_ >= 64) return filter_long(domains);
    const int k = static_cast<int>(terms_.size());
    std::array<std::uint64_t, kMostCells + 1> reached;
    std::array<Mask, kMostCells> held;
    const std::uint64_t within = target_ == 63 ? ~std::uint64_t{0} : (std::uint64_t{1} << (target_ + 1)) - 1;
    reached[0] = 1;
    for (int i = 0; i < k; ++i) {
        held[i] = turned(domains[i], terms_[i].reversed);
        const int weight = terms_[i].weight;
        std::uint64_t next = 0;
        for (unsigned left = held[i]; left; left &= left - 1) {
            const int shift = weight * lowest(left);
            if (shift > target_) break;
            next |= reached[i] << shift;
        }
        reached[i + 1] = next & within;
        if (reached[i + 1] == 0) return false;
    }
    std::uint64_t needed = std::uint64_t{1} << target_;
    if (!(reached[k] & needed)) return false;
    for (int i = k - 1; i >= 0; --i) {
        const int weight = terms_[i].weight;
        std::uint64_t before = 0;
        Mask kept = 0;
        for (unsigned left = held[i]; left; left &= left - 1) {
            const int place = lowest(left);
            const int shift = weight * place;
            if (shift > target_) break;
            const std::uint64_t from = needed >> shift & reached[i];
            if (from) {
                kept |= static_cast<Mask>(1u << place);
                before |= from;
            }
        }
        needed = before;
        domains[i] = turned(kept, terms_[i].reversed);
    }
    return true;
}

// The same with sums of any length: arrows whose pill is a number of several digits.
bool Linear::filter_long(Mask* domains) const {
    using Words = std::vector<std::uint64_t>;
    const int k = static_cast<int>(terms_.size());
    const std::size_t words = static_cast<std::size_t>(target_) / 64 + 1;
    const auto or_up = [words](Words& into, const Words& from, long long shift) {
        const std::size_t whole = static_cast<std::size_t>(shift) / 64;
        const int part = static_cast<int>(shift % 64);
        for (std::size_t w = words; w-- > whole;) {
            std::uint64_t bits = from[w - whole] << part;
            if (part && w > whole) bits |= from[w - whole - 1] >> (64 - part);
            into[w] |= bits;
        }
    };
    const auto down = [words](const Words& from, long long shift, std::size_t w) {
        const std::size_t whole = static_cast<std::size_t>(shift) / 64;
        const int part = static_cast<int>(shift % 64);
        if (w + whole >= words) return std::uint64_t{0};
        std::uint64_t bits = from[w + whole] >> part;
        if (part && w + whole + 1 < words) bits |= from[w + whole + 1] << (64 - part);
        return bits;
    };
    std::vector<Words> reached(k + 1, Words(words, 0));
    std::vector<Mask> held(k);
    reached[0][0] = 1;
    for (int i = 0; i < k; ++i) {
        held[i] = turned(domains[i], terms_[i].reversed);
        for (unsigned left = held[i]; left; left &= left - 1) {
            const long long shift = static_cast<long long>(terms_[i].weight) * lowest(left);
            if (shift > target_) break;
            or_up(reached[i + 1], reached[i], shift);
        }
    }
    Words needed(words, 0);
    needed[words - 1] = std::uint64_t{1} << (target_ % 64);
    if (!(reached[k][words - 1] & needed[words - 1])) return false;
    for (int i = k - 1; i >= 0; --i) {
        Words before(words, 0);
        Mask kept = 0;
        for (unsigned left = held[i]; left; left &= left - 1) {
            const int place = lowest(left);
            const long long shift = static_cast<long long>(terms_[i].weight) * place;
            if (shift > target_) break;
            bool any = false;
            for (std::size_t w = 0; w < words; ++w) {
                const std::uint64_t from = down(needed, shift, w) & reached[i][w];
                before[w] |= from;
                any |= from != 0;
            }
            if (any) kept |= static_cast<Mask>(1u << place);
        }
        needed = before;
        domains[i] = turned(kept, terms_[i].reversed);
    }
    return true;
}

// Depth first over the places, each prefix kept only if the rest can still make up the target, so without
// seeing cells every prefix ends in a filling and the work is in proportion to what is listed.
std::optional<Tuples> Linear::fillings(Seen seen, std::size_t limit) const {
    const int k = static_cast<int>(terms_.size());
    Tuples found{k, {}};
    if (!possible_) return found;
    if (target_ >= 64 || k > kSeenPlaces) return std::nullopt;
    std::array<std::uint64_t, kSeenPlaces + 1> needed{};
    needed[k] = std::uint64_t{1} << target_;
    for (int i = k - 1; i >= 0; --i) {
        for (int place = 0; place < n_; ++place) {
            const long long shift = static_cast<long long>(terms_[i].weight) * place;
            if (shift < 64) needed[i] |= needed[i + 1] >> shift;
        }
    }
    std::array<std::uint8_t, kSeenPlaces> digits{};
    std::size_t visited = 0;
    const auto extend = [&](const auto& self, int i, long long sum) -> bool {
        if (++visited > 8 * limit) return false;
        if (i == k) {
            if (found.count() == limit) return false;
            found.digits.insert(found.digits.end(), digits.begin(), digits.begin() + k);
            return true;
        }
        for (int place = 0; place < n_; ++place) {
            const long long next = sum + static_cast<long long>(terms_[i].weight) * place;
            if (next > target_) break;
            if (!(needed[i + 1] >> next & 1)) continue;
            const auto digit = static_cast<std::uint8_t>(terms_[i].reversed ? n_ - 1 - place : place);
            bool clash = false;
            for (int j = 0; j < i && !clash; ++j) clash = digits[j] == digit && sees(seen, j, i);
            if (clash) continue;
            digits[i] = digit;
            if (!self(self, i + 1, next)) return false;
        }
        return true;
    };
    if (!extend(extend, 0, 0)) return std::nullopt;
    return found;
}

}  // namespace saywhy
