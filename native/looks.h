// What reasoning asks of a model: reasons made small, and suppositions followed to a contradiction.
#pragma once

#include <bitset>
#include <optional>
#include <vector>

#include "search.h"

namespace saywhy {

// The premises that are left of a look when all that are not needed are gone.
struct Shrunk {
    std::vector<int> primitives;
    std::vector<Mask> domains;  // all digits where nothing is relied on
};

// What is asked of a look: that `target` holds none of the digits in `denied`; with no target (-1), that it has no
// joint filling at all.
struct Question {
    std::vector<int> primitives;  // in the order in which to try to do without them
    std::vector<Mask> domains;    // one mask a cell of the model
    int target = -1;
    Mask denied = 0;
    Mask kept = 0;              // the one digit left in the target, if the others are all to be denied
    std::vector<Mask> marked;   // for each cell, the digits that written marks alone have struck out of it
    std::vector<bool> placed;   // for each cell, whether a digit stands there
    std::uint64_t nodes = 0;    // for each single question to the search
    std::uint64_t total = 200'000;  // for all of them: when spent, what is left of the premises stays
};

// Drops premises as long as what is asked still follows: first primitives, then written marks, then what is seen,
// then digits standing.
//
// A deletion filter (Chinneck and Dravnieks, ORSA J. Computing 3, 1991), so the result is minimal but not always
// smallest; the order puts what a listener would least like to be reminded of first. A question that is not
// answered within its nodes keeps its premise: the result may be larger than need be, never too small.
// Cost: one small search for each premise.
Shrunk shrink(Model& model, Question question);

// One thing that is shown on the way from a supposition to its contradiction.
struct Turn {
    enum Kind { place, alone, line, empty, homeless, broken, nested, locked };
    // place: `cell` has only `digits` left, and it matters that the digit stands there.
    // alone: in the clique `primitive`, `digits` has only `cell` left.
    // line: `primitive` strikes out `removed`.
    // locked: wherever `digits` stands in the clique `primitive`, it strikes out `removed`.
    // nested: supposing `digits` in `cell` as well meets a contradiction by the turns in `inner`.
    // The last turn is one of: empty (`cell` has nothing left), homeless (`digits` has no cell in the clique
    // `primitive`), broken (`primitive` has no filling).
    Kind kind;
    int primitive = -1;
    int cell = -1;
    Mask digits = 0;
    std::vector<std::pair<int, Mask>> removed;
    std::vector<Turn> inner;
};

struct Story {
    int cell = -1;
    Mask digit = 0;
    std::vector<Turn> turns;
};

// How many steps turns make when told, those inside others counted too: a digit that a line leaves alone in a cell is
// no step of its own.
int length(const std::vector<Turn>& turns);

// Supposes digits and follows single primitives until something cannot be.
//
// Why not the search's own propagation: a story needs to know what each removal rests on. Each primitive is
// asked one at a time, in waves, so that near consequences come before far ones; from the
// contradiction backwards, each turn's premises are cut down to those that it needs, and turns that nothing
// rests on are left out. What singles strike out at sight is not a turn: a listener sees it.
//
// Where single primitives come to rest without a contradiction, a supposition may be tried inside: all that has
// been removed is kept with the time of its removal, so an inner story is told down to the time at which it began
// and what it wants of earlier times becomes the premises of one nested turn.
class Follower {
  public:
    static constexpr int kAll = -1;  // waves until all is at rest

    // Follows the first `stated` primitives of the model; those added later take no part. `houses`: those of them that are
    // followed as houses; any other that says cells differ is only seen along.
    Follower(Model& model, int stated, const std::vector<int>& houses);

    // The story of supposing `digit` (a mask of one) in `cell`, with suppositions `depth` deep inside it; nothing
    // if no contradiction is met in so many waves: each draws what follows at once from all that the one before gave.
    std::optional<Story> follow(const std::vector<Mask>& domains, int cell, Mask digit, int depth = 0, int waves = kAll);

    // Supposes each digit of the cells that have at most `widest`, cells of few digits first, until `weighed` stories
    // have been found, and gives the one that strikes out most for its length among those of at most `longest` steps.
    std::optional<Story> cheapest(const std::vector<Mask>& domains, int depth, int weighed, int longest, int widest);

    // How many digits go in all when these are struck out and single primitives are followed.
    int gain(const std::vector<Mask>& domains, int cell, Mask digits);

    const Model& model() const { return model_; }

  private:
    using Cells = std::bitset<kMostCells>;
    struct Unit {
        int primitive;
        const Propagator* propagator;  // none for a house
        std::vector<int> cells;
        bool house;
    };
    struct Event {
        enum Kind { supposed, seen, alone, locked, line, nested } kind;
        int unit, cell;
        Mask digits;
        std::vector<std::pair<int, Mask>> removed;
        std::vector<std::pair<int, Mask>> premises;  // of a nested event
        std::vector<Turn> inner;
    };
    struct Break {
        Turn::Kind kind;
        int unit, cell;
        Mask digits;
    };

    // A contradiction told, and what that wants of the times before.
    struct Broken {
        std::vector<Turn> turns;
        std::vector<Mask> wanted;
    };

    void begin(const std::vector<Mask>& domains);
    void mark(int cell, Mask digits, int time);
    void strike(Event& event, int cell, Mask digits);
    void keep(Event event);
    void note(const Break& broke);
    void see(int cell);
    void run_line(int unit);
    void run_house(int unit);
    void lock(int unit);
    bool rest(int start, int waves = kAll);
    void suppose(int cell, Mask digit);
    bool nest(int depth);
    void undo(int time);
    Mask at(int cell, int time) const;
    void want_line(int unit, int time, const std::vector<std::pair<int, Mask>>& targets);
    void want(int cell, Mask digits) { wanted_[cell] |= static_cast<Mask>(digits & base_[cell]); }
    std::vector<Turn> tell(const Break& broke);

    Model& model_;
    int n_;
    std::vector<Unit> units_;
    std::vector<std::vector<int>> watch_;   // units by cell
    std::vector<std::vector<int>> sights_;  // cells that must differ from a cell
    std::vector<Cells> seen_;               // the same as bits
    std::vector<Mask> base_, now_, wanted_;
    std::vector<int> removed_at_;  // event by cell * 16 + digit, -1 for none
    std::vector<Event> events_;
    std::vector<int> queue_;
    std::vector<bool> queued_;
    std::vector<Mask> fewer_;  // for each unit the digits that have gone from its cells since locked ones were looked for
    std::vector<int> singles_;
    std::vector<std::pair<int, Mask>> emptied_;  // what the event at work would leave nothing for
    int start_ = 0;                              // the event at which a contradiction's telling begins
    std::optional<Broken> broken_;
};

}  // namespace saywhy
