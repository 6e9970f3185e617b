// No digit twice in a clique of cells, and each digit once in a house.
#pragma once

#include <array>

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
// Invariant: a digit that is placed counts kPlaced or somewhat more or less, so it is never met as 1 or 0.
// A count is 1 when a digit is placed that other cells have yet to lose, so the bit is set and then counts fall
// by 16 at most.
// Cost: a few instructions a cell changed and house.
class Places {
  public:
    static constexpr int kBytes = 16;
    static constexpr std::uint8_t kPlaced = 128;

    struct Left {
        Mask none, one;  // digits with no cell left, with one cell left
    };

    explicit Places(std::uint8_t* bytes) : bytes_(bytes) {}

#if defined(__SSE2__)
    // Whole vectors are loaded and stored throughout: a vector load soon after a narrower store to the same
    // place waits for it, and these waits were a third of all time.
    void add(Mask digits) const { store(_mm_add_epi8(load(), spread(digits))); }
    void place(Mask digit) const { store(_mm_or_si128(load(), _mm_slli_epi16(spread(digit), 7))); }

    // Some cell loses these digits; gives those among them that now have one cell left or none.
    Left take(Mask digits) const {
        const __m128i held = _mm_sub_epi8(load(), spread(digits));
        store(held);
        return look(held, digits);
    }
    Left look(Mask among) const { return look(load(), among); }

  private:
    __m128i load() const { return _mm_loadu_si128(reinterpret_cast<const __m128i*>(bytes_)); }
    void store(__m128i held) const { _mm_storeu_si128(reinterpret_cast<__m128i*>(bytes_), held); }
    static __m128i spread(Mask digits) {
        const auto word = [](unsigned byte) { return _mm_loadl_epi64(reinterpret_cast<const __m128i*>(&kSpread[byte])); };
        return _mm_unpacklo_epi64(word(digits & 255), word(digits >> 8));
    }
    static Left look(__m128i held, Mask among) {
        const int none = _mm_movemask_epi8(_mm_cmpeq_epi8(held, _mm_setzero_si128()));
        const int one = _mm_movemask_epi8(_mm_cmpeq_epi8(held, _mm_set1_epi8(1)));
        return {static_cast<Mask>(none & among), static_cast<Mask>(one & among)};
    }
#else
    void add(Mask digits) const {
        for (unsigned left = digits; left; left &= left - 1) ++bytes_[lowest(left)];
    }
    void place(Mask digit) const { bytes_[lowest(digit)] |= kPlaced; }
    Left take(Mask digits) const {
        for (unsigned left = digits; left; left &= left - 1) --bytes_[lowest(left)];
        return look(digits);
    }
    Left look(Mask among) const {
        Left found{0, 0};
        for (unsigned left = among; left; left &= left - 1) {
            const auto digit = static_cast<Mask>(left & -left);
            if (bytes_[lowest(left)] == 0) found.none |= digit;
            if (bytes_[lowest(left)] == 1) found.one |= digit;
        }
        return found;
    }

  private:
#endif
    // Bit b of a byte as byte b of a word.
    alignas(16) static constexpr std::array<std::uint64_t, 256> kSpread = [] {
        std::array<std::uint64_t, 256> spread{};
        for (unsigned set = 0; set < 256; ++set) {
            for (int b = 0; b < 8; ++b) spread[set] |= static_cast<std::uint64_t>(set >> b & 1) << (8 * b);
        }
        return spread;
    }();

    std::uint8_t* bytes_;
};

}  // namespace saywhy
