// No digit twice in a clique of cells, and each digit once in a house.
#pragma once

#include <array>
#include <cstring>

#include "masks.h"

#if defined(__SSE2__)
#include <emmintrin.h>
#endif

namespace saywhy {

// How many cells of one house can still hold each digit, one byte a digit.
//
// Why this way: naked singles are cleared from the cells that see them, found by bit sets; hidden singles
// come out of these counters, which one 16-byte subtraction keeps up to date whatever number of digits a cell
// loses. Work is in proportion to what changes: passes over whole houses, also in vector instructions, spent
// three quarters of their time on houses where nothing was to be found.
// Invariant: a digit that is placed counts kPlaced or somewhat less, so it is never met again as 1 or 0.
// Cost: a few instructions a cell changed and house.
class Places {
  public:
    static constexpr int kBytes = 16;
    static constexpr std::uint8_t kPlaced = 200;

    struct Left {
        Mask none, one;  // digits with no cell left, with one cell left
    };

    explicit Places(std::uint8_t* bytes) : bytes_(bytes) {}

    void clear() const { std::memset(bytes_, 0, kBytes); }
    void add(Mask digits) const { shift(digits, 1); }
    void place(Mask digit) const { bytes_[lowest(digit)] = kPlaced; }

    // Some cell loses these digits; gives those among them that now have one cell left or none.
    Left take(Mask digits) const {
        shift(digits, -1);
        return look(digits);
    }

    Left look(Mask among) const {
#if defined(__SSE2__)
        const __m128i held = _mm_loadu_si128(reinterpret_cast<const __m128i*>(bytes_));
        const int none = _mm_movemask_epi8(_mm_cmpeq_epi8(held, _mm_setzero_si128()));
        const int one = _mm_movemask_epi8(_mm_cmpeq_epi8(held, _mm_set1_epi8(1)));
        return {static_cast<Mask>(none & among), static_cast<Mask>(one & among)};
#else
        Left left{0, 0};
        for (int d = 0; d < kMostDigits; ++d) {
            left.none |= static_cast<Mask>((bytes_[d] == 0) << d);
            left.one |= static_cast<Mask>((bytes_[d] == 1) << d);
        }
        return {static_cast<Mask>(left.none & among), static_cast<Mask>(left.one & among)};
#endif
    }

  private:
    // Adds `by`, 1 or -1, to the bytes of these digits. No byte overflows, so eight can be done in one word.
    void shift(Mask digits, int by) const {
        std::uint64_t word[2];
        std::memcpy(word, bytes_, kBytes);
        if (by > 0) {
            word[0] += kSpread[digits & 255];
            word[1] += kSpread[digits >> 8];
        } else {
            word[0] -= kSpread[digits & 255];
            word[1] -= kSpread[digits >> 8];
        }
        std::memcpy(bytes_, word, kBytes);
    }

    // Bit b of a byte as byte b of a word.
    static constexpr std::array<std::uint64_t, 256> kSpread = [] {
        std::array<std::uint64_t, 256> spread{};
        for (unsigned set = 0; set < 256; ++set) {
            for (int b = 0; b < 8; ++b) spread[set] |= static_cast<std::uint64_t>(set >> b & 1) << (8 * b);
        }
        return spread;
    }();

    std::uint8_t* bytes_;
};

}  // namespace saywhy
