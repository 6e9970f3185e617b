// Families of sets of digits, one bit a set: the exact bookkeeping of which digits were used.
#pragma once

#include <array>
#include <cstdint>

#include "masks.h"

namespace saywhy {

// The largest grid for which a family of sets (2^n bits) is worth sweeping with: 512 bits.
constexpr int kMostSetDigits = 9;

// A family of sets of up to 6 + log2(Words) digits: bit s says that set s is in it.
//
// Why: whether cells that all see each other can be filled depends on the digits used so far only by their
// set, and adding a digit to every set of a family at once is one shift a word. So full support under
// all-different, together with whatever else is counted, costs a few dozen word operations a digit.
template <int Words>
struct Sets {
    std::array<std::uint64_t, Words> words{};

    bool any() const {
        std::uint64_t all = 0;
        for (const std::uint64_t word : words) all |= word;
        return all != 0;
    }
    void insert(unsigned set) { words[set / 64] |= std::uint64_t{1} << (set % 64); }
    bool contains(unsigned set) const { return words[set / 64] >> (set % 64) & 1; }

    // Adds to this family each set of `from` without the digit, with the digit put in.
    void add_with(const Sets& from, int digit) {
        if (digit < 6) {
            const std::uint64_t without = ~kWith[digit];
            for (int w = 0; w < Words; ++w) words[w] |= (from.words[w] & without) << (1 << digit);
        } else {
            const int step = 1 << (digit - 6);
            for (int w = 0; w < Words; ++w) {
                if (!(w & step)) words[w | step] |= from.words[w];
            }
        }
    }
    // The sets of `within` that, with the digit put in, are in `to`.
    static Sets before(const Sets& to, const Sets& within, int digit) {
        Sets found;
        if (digit < 6) {
            for (int w = 0; w < Words; ++w) {
                found.words[w] = (to.words[w] & kWith[digit]) >> (1 << digit) & within.words[w];
            }
        } else {
            const int step = 1 << (digit - 6);
            for (int w = 0; w < Words; ++w) {
                if (!(w & step)) found.words[w] = to.words[w | step] & within.words[w];
            }
        }
        return found;
    }
    Sets& operator|=(const Sets& other) {
        for (int w = 0; w < Words; ++w) words[w] |= other.words[w];
        return *this;
    }
    Sets& operator&=(const Sets& other) {
        for (int w = 0; w < Words; ++w) words[w] &= other.words[w];
        return *this;
    }

  private:
    // The places in a word of the sets that hold digit 0 to 5.
    static constexpr std::array<std::uint64_t, 6> kWith = {
        0xaaaaaaaaaaaaaaaau, 0xccccccccccccccccu, 0xf0f0f0f0f0f0f0f0u,
        0xff00ff00ff00ff00u, 0xffff0000ffff0000u, 0xffffffff00000000u};
};

// The words that families over digits 1 to n take.
constexpr int set_words(int n) { return n <= 6 ? 1 : 1 << (n - 6); }

}  // namespace saywhy
