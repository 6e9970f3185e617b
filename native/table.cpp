#include "table.h"

#include <algorithm>
#include <array>

namespace saywhy {

namespace {

// Fillings looked at one by one.
constexpr int kShown = 32;

}  // namespace

Table::Table(int n, const Tuples& fillings)
    : n_(n),
      arity_(fillings.arity),
      words_(static_cast<int>((fillings.count() + 63) / 64)),
      parts_((n + kPart - 1) / kPart),
      sets_(number(parts_ - 1, 1u << (n - (parts_ - 1) * kPart))) {
    occurring_.assign(arity_, 0);
    supports_.assign(static_cast<std::size_t>(arity_) * sets_ * words_, 0);
    list(fillings);
    const std::size_t count = fillings.count();
    // Bits behind the last filling may be alive; they stand for fillings of nothing.
    if (arity_ * n_ <= 64) packed_.assign(static_cast<std::size_t>(words_) * 64, 0);
    for (std::size_t t = 0; !packed_.empty() && t < count; ++t) {
        for (int place = 0; place < arity_; ++place) packed_[t] |= std::uint64_t{1} << (place * n_ + fillings.digits[t * arity_ + place]);
    }
    for (int digit = 0; digit < n_ && arity_ > 0; ++digit) {
        const std::uint64_t* bits = support(0, number_of(digit));
        first_[digit] = static_cast<std::uint8_t>(std::find_if(bits, bits + words_, std::identity{}) - bits);
        last_[digit] = static_cast<std::uint8_t>(words_);
        while (last_[digit] > first_[digit] && bits[last_[digit] - 1] == 0) --last_[digit];
    }
}

// Fills in the supports, 64 fillings at a time: the digits, then from these every set, by adding one digit to all
// sets of the digits below.
void Table::list(const Tuples& fillings) {
    for (int place = 0; place < arity_; ++place) {
        for (int w = 0; w < words_; ++w) {
            std::array<std::uint64_t, kMostDigits> with{};
            const std::size_t first = static_cast<std::size_t>(w) * 64, last = std::min(fillings.count(), first + 64);
            const std::uint8_t* digit = fillings.digits.data() + first * arity_ + place;
            for (std::size_t t = first; t < last; ++t, digit += arity_) with[*digit] |= std::uint64_t{1} << (t - first);
            for (int d = 0; d < n_; ++d) occurring_[place] |= static_cast<Mask>((with[d] != 0) << d);
            std::uint64_t* supports = supports_.data() + static_cast<std::size_t>(place) * sets_ * words_ + w;
            for (int part = 0; part < parts_; ++part) {
                std::array<std::uint64_t, kSubsets> joined;
                joined[0] = 0;
                const int digits = std::min(kPart, n_ - part * kPart);
                for (int d = 0; d < digits; ++d) {
                    for (int set = 0; set < 1 << d; ++set) joined[(1 << d) + set] = joined[set] | with[part * kPart + d];
                }
                for (int set = 1; set < 1 << digits; ++set) supports[static_cast<std::size_t>(number(part, set)) * words_] = joined[set];
            }
        }
    }
}

// Gives for each word what all places leave alive.
template <int Parts>
Table::Met Table::meet(const Mask* domains, int from, int to, std::uint64_t* alive) const {
    std::array<const std::uint64_t*, static_cast<std::size_t>(kMostCells) * Parts> sets;
    int count = 0;
    for (int place = 0; place < arity_; ++place) {
        const Mask held = domains[place] & occurring_[place];
        if (held == occurring_[place]) continue;
        if (held == 0) return Met::none;
        for (int part = 0; part < Parts; ++part) {
            sets[count++] = support(place, number(part, unsigned{held} >> part * kPart & (kSubsets - 1)));
        }
    }
    if (count == 0) return Met::all;
    for (int w = from; w < to; ++w) {
        std::uint64_t left = ~std::uint64_t{0};
        for (int i = 0; i < count; i += Parts) {
            std::uint64_t joined = sets[i][w];
            for (int part = 1; part < Parts; ++part) joined |= sets[i + part][w];
            left &= joined;
        }
        alive[w] = left;
    }
    return Met::some;
}

// A few of the fillings left usually support nearly everything, sooner if they lie far apart: the first and last of
// each word, then those between. Only what they leave is looked up.
std::uint64_t Table::glance(const Mask* domains, const std::uint64_t* alive, int from, int to) const {
    std::uint64_t shown = 0, open = 0;
    if (packed_.empty()) return shown;
    for (int place = 0; place < arity_; ++place) {
        open |= std::uint64_t{static_cast<Mask>(domains[place] & occurring_[place])} << (place * n_);
    }
    for (int w = from; w < to && open & ~shown; ++w) {
        if (const std::uint64_t bits = alive[w]) {
            shown |= packed_[w * 64 + std::countr_zero(bits)] | packed_[w * 64 + 63 - std::countl_zero(bits)];
        }
    }
    int enough = kShown;
    for (int w = from; w < to && enough > 0 && open & ~shown; ++w) {
        for (std::uint64_t bits = alive[w]; bits && enough > 0 && open & ~shown; bits &= bits - 1, --enough) {
            shown |= packed_[w * 64 + std::countr_zero(bits)];
        }
    }
    return shown;
}

bool Table::filter(Mask* domains) const {
    if (words_ == 0) return false;
    const Mask start = domains[0] & occurring_[0];
    if (start == 0) return false;
    // Listed in order of the first digit, rising or falling: the ends of the range are with the outer digits.
    const int low = lowest(start), high = std::bit_width(unsigned{start}) - 1;
    int from = std::min(first_[low], first_[high]), to = std::max(last_[low], last_[high]);
    std::array<std::uint64_t, (kTableLimit + 63) / 64> alive;
    const auto meet = [&] {
        switch (parts_) {
            case 1: return this->meet<1>(domains, from, to, alive.data());
            case 2: return this->meet<2>(domains, from, to, alive.data());
            case 3: return this->meet<3>(domains, from, to, alive.data());
            default: return this->meet<(kMostDigits + kPart - 1) / kPart>(domains, from, to, alive.data());
        }
    };
    switch (meet()) {
        case Met::none: return false;
        case Met::all:
            for (int place = 0; place < arity_; ++place) domains[place] &= occurring_[place];
            return true;
        case Met::some: break;
    }
    while (from < to && alive[from] == 0) ++from;
    while (from < to && alive[to - 1] == 0) --to;
    if (from == to) return false;
    const std::uint64_t shown = glance(domains, alive.data(), from, to);
    for (int place = 0; place < arity_; ++place) {
        Mask kept = static_cast<Mask>(shown >> (place * n_ & 63)) & full_mask(n_);
        for (unsigned left = domains[place] & occurring_[place] & static_cast<Mask>(~kept); left; left &= left - 1) {
            const int digit = lowest(left);
            const std::uint64_t* bits = support(place, number_of(digit));
            for (int w = from; w < to; ++w) {
                if (bits[w] & alive[w]) {
                    kept |= static_cast<Mask>(1u << digit);
                    break;
                }
            }
        }
        if (kept == 0) return false;
        domains[place] = kept;
    }
    return true;
}

}  // namespace saywhy
