// Counts that are known already.
#pragma once

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <optional>
#include <vector>

#include "masks.h"

namespace saywhy {

// Remembers how many ways there are to fill what is left of a state, for as many of these remainders as fit.
//
// Why: a plain count meets the same few cells with the same digits left again and again, behind different fillings of
// the others; all grids of 6 by 6 take a third of the time so. (Caching of components, as in model counting: Bacchus,
// Dalmao, Pitassi, UAI 2003, cited from memory. Multiplying parts that do not depend on each other was tried and gained
// nothing: what is left seldom falls apart.)
// Invariant: an entry is found by its whole key, so what is found is exact; of two that want the same place the later
// one stays. It starts small and grows when it is used: most counts are over soon.
class Memo {
  public:
    // Keys of so many masks.
    explicit Memo(int masks) : masks_(masks) { grow(kFirst); }

    // False where so few remainders have been met again that asking costs more than it saves.
    bool pays() const { return asked_ < kTrial || met_ * 16 >= asked_; }
    // Where a key belongs; find() and keep() want to be told.
    std::uint64_t place(const Mask* key) const {
        std::uint64_t hash = 0;
        for (int i = 0; i < masks_; i += 4) {
            std::uint64_t word = 0;
            std::memcpy(&word, key + i, sizeof(Mask) * std::min(4, masks_ - i));
            hash = (hash ^ word) * 0x9e3779b97f4a7c15u;
            hash ^= hash >> 29;
        }
        return hash;
    }
    std::optional<std::uint64_t> find(std::uint64_t place, const Mask* key) {
        ++asked_;
        const std::size_t slot = place & (counts_.size() - 1);
        if (counts_[slot] == 0 || !std::equal(key, key + masks_, keys_.data() + slot * masks_)) return std::nullopt;
        ++met_;
        return counts_[slot] - 1;
    }
    void keep(std::uint64_t place, const Mask* key, std::uint64_t count) {
        if (++kept_ > 2 * counts_.size() && 2 * counts_.size() * entry() <= kMost) grow(2 * counts_.size());
        const std::size_t slot = place & (counts_.size() - 1);
        std::copy_n(key, masks_, keys_.data() + slot * masks_);
        counts_[slot] = count + 1;
    }

  private:
    static constexpr std::size_t kFirst = 256, kMost = std::size_t{1} << 25;  // entries; bytes
    static constexpr std::uint64_t kTrial = 4096;

    std::size_t entry() const { return sizeof(Mask) * masks_ + sizeof(std::uint64_t); }
    // What was kept is forgotten: it is soon met again.
    void grow(std::size_t entries) {
        keys_.assign(entries * masks_, 0);
        counts_.assign(entries, 0);
        kept_ = 0;
    }

    int masks_;
    std::vector<Mask> keys_;
    std::vector<std::uint64_t> counts_;  // one more than the count, 0 for an empty place
    std::size_t kept_ = 0;               // since it grew
    std::uint64_t asked_ = 0, met_ = 0;
};

}  // namespace saywhy
