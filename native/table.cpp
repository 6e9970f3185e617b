#include "table.h"

#include <array>

namespace saywhy {

Table::Table(int n, const Tuples& fillings)
    : n_(n), arity_(fillings.arity), words_(static_cast<int>((fillings.count() + 63) / 64)) {
    occurring_.assign(arity_, 0);
    supports_.assign(static_cast<std::size_t>(arity_) * n_ * words_, 0);
    const std::size_t count = fillings.count();
    // Narrowing may leave bits behind the last filling; they stand for fillings of nothing.
    if (arity_ * n_ <= 64) packed_.assign(static_cast<std::size_t>(words_) * 64, 0);
    for (std::size_t t = 0; t < count; ++t) {
        for (int place = 0; place < arity_; ++place) {
            const int digit = fillings.digits[t * arity_ + place];
            if (!packed_.empty()) packed_[t] |= std::uint64_t{1} << (place * n_ + digit);
            occurring_[place] |= static_cast<Mask>(1u << digit);
            supports_[(static_cast<std::size_t>(place) * n_ + digit) * words_ + t / 64] |= std::uint64_t{1} << (t % 64);
        }
    }
}

bool Table::filter(Mask* domains) const {
    std::array<std::uint64_t, (kTableLimit + 63) / 64> alive;
    const int words = words_;
    bool narrowed = false;
    for (int place = 0; place < arity_; ++place) {
        const Mask held = domains[place] & occurring_[place];
        if (held == occurring_[place]) continue;
        if (held == 0) return false;
        const Mask gone = occurring_[place] & static_cast<Mask>(~held);
        // Gather the fewer of the digits that stay and those that left.
        const bool few_gone = size_of(gone) < size_of(held);
        std::array<std::uint64_t, (kTableLimit + 63) / 64> joined;
        unsigned left = few_gone ? gone : held;
        const std::uint64_t* bits = support(place, lowest(left));
        left &= left - 1;
        for (int w = 0; w < words; ++w) joined[w] = bits[w];
        for (; left; left &= left - 1) {
            bits = support(place, lowest(left));
            for (int w = 0; w < words; ++w) joined[w] |= bits[w];
        }
        if (!narrowed) {
            const std::uint64_t flip = few_gone ? ~std::uint64_t{0} : 0;
            for (int w = 0; w < words; ++w) alive[w] = joined[w] ^ flip;
        } else if (few_gone) {
            for (int w = 0; w < words; ++w) alive[w] &= ~joined[w];
        } else {
            for (int w = 0; w < words; ++w) alive[w] &= joined[w];
        }
        narrowed = true;
    }
    if (words == 0) return arity_ == 0;
    if (!narrowed) {
        for (int place = 0; place < arity_; ++place) domains[place] &= occurring_[place];
        return true;
    }
    // The first few fillings left usually support nearly everything; only what they leave is looked up.
    std::uint64_t shown = 0;
    if (!packed_.empty()) {
        int enough = 32;
        for (int w = 0; w < words && enough > 0; ++w) {
            for (std::uint64_t bits = alive[w]; bits && enough > 0; bits &= bits - 1, --enough) {
                shown |= packed_[w * 64 + std::countr_zero(bits)];
            }
        }
    }
    for (int place = 0; place < arity_; ++place) {
        Mask kept = static_cast<Mask>(shown >> (place * n_ & 63)) & full_mask(n_);
        for (unsigned left = domains[place] & occurring_[place] & static_cast<Mask>(~kept); left; left &= left - 1) {
            const int digit = lowest(left);
            const std::uint64_t* bits = support(place, digit);
            for (int w = 0; w < words; ++w) {
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
