#include "looks.h"

#include <algorithm>
#include <span>

#include "model.h"

namespace saywhy {

namespace {

// From so many premises on, doing without all of them at once is tried first.
constexpr std::size_t kMany = 6;
// With more primitives than this, marks are dropped before primitives.
constexpr std::size_t kWhole = 30;

// A look whose premises are being cut down.
class Filter {
  public:
    Filter(Model& model, Question& asked) : model_(model), asked_(asked), full_(full_mask(model.digits())) {
        if (asked_.target >= 0) asked_.domains[asked_.target] = asked_.denied;
    }

    void drop_primitives() {
        kept_ = asked_.primitives;
        drop(asked_.primitives);
        asked_.primitives = kept_;
        space_.reset();
    }

    void drop_facts() {
        open();
        std::vector<int> all, empty, standing;
        for (int cell = 0; cell < model_.cells(); ++cell) {
            if (cell == asked_.target || (*space_)->local(cell) < 0) continue;
            all.push_back(cell);
            (asked_.placed[cell] ? standing : empty).push_back(cell);
        }
        relax(all, [this](int cell) { return asked_.marked[cell]; });
        relax(empty, [this](int) { return full_; });
        relax(standing, [this](int) { return full_; });
        for (const int cell : empty) one_by_one(cell, asked_.marked[cell]);
        for (const int cell : empty) one_by_one(cell, full_);
    }

    void deny_more() {
        open();
        const Mask others = static_cast<Mask>(full_ & ~asked_.kept);
        if (!relax(asked_.target, others)) one_by_one(asked_.target, others);
        asked_.domains[asked_.target] |= asked_.kept;
    }

  private:
    // Opens what primitives are left; of the other cells nothing is relied on.
    void open() {
        space_.emplace(model_);
        Space& space = **space_;
        space.open(asked_.primitives);
        for (int cell = 0; cell < model_.cells(); ++cell) {
            if (cell != asked_.target && space.local(cell) < 0) asked_.domains[cell] = full_;
        }
    }

    // Does without these primitives, all together if that can be, else each half by itself; large looks, of which
    // most is not needed, are cut down in few questions so (Junker, AAAI 2004).
    void drop(std::span<const int> ids) {
        if (ids.empty() || kept_.size() == 1) return;
        std::vector<int> fewer;
        std::ranges::copy_if(kept_, std::back_inserter(fewer), [ids](int id) { return std::ranges::find(ids, id) == ids.end(); });
        if (!fewer.empty() && (ids.size() == 1 || ids.size() >= kMany)) {
            Lease space(model_);
            space->open(fewer);
            if ((asked_.target < 0 || space->local(asked_.target) >= 0) && follows(*space)) {
                kept_ = std::move(fewer);
                return;
            }
        }
        if (ids.size() == 1) return;
        if (ids.size() < 2 * kMany) {
            for (std::size_t i = 0; i < ids.size(); ++i) drop(ids.subspan(i, 1));
            return;
        }
        drop(ids.first(ids.size() / 2));
        drop(ids.subspan(ids.size() / 2));
    }

    // Allows digits in these cells, in all of them together if what is asked still follows, else in each half.
    void relax(std::span<const int> cells, const auto& digits) {
        if (cells.empty()) return;
        if (cells.size() == 1) {
            relax(cells[0], digits(cells[0]));
            return;
        }
        if (cells.size() >= kMany) {
            std::vector<Mask> before;
            for (const int cell : cells) {
                before.push_back(asked_.domains[cell]);
                asked_.domains[cell] |= digits(cell);
            }
            if (follows(**space_)) return;
            for (std::size_t i = 0; i < cells.size(); ++i) asked_.domains[cells[i]] = before[i];
        }
        if (cells.size() < 2 * kMany) {
            for (const int cell : cells) relax(cell, digits(cell));
            return;
        }
        relax(cells.first(cells.size() / 2), digits);
        relax(cells.subspan(cells.size() / 2), digits);
    }

    void one_by_one(int cell, Mask digits) {
        for (unsigned left = digits & ~asked_.domains[cell]; left != 0; left &= left - 1) {
            relax(cell, static_cast<Mask>(left & -left));
        }
    }

    // Allows these digits in the cell if what is asked still follows.
    bool relax(int cell, Mask digits) {
        const Mask before = asked_.domains[cell];
        if ((before | digits) == before) return true;
        asked_.domains[cell] = before | digits;
        if (follows(**space_)) return true;
        asked_.domains[cell] = before;
        return false;
    }

    bool follows(Space& space) {
        if (spent_ > asked_.total) return false;
        local_.resize(space.state_size());
        space.gather(asked_.domains, local_.data());
        if (!space.settle(local_.data())) return true;
        Limits limits;
        limits.nodes = asked_.nodes;
        bool found = false;
        Search search(space, limits);
        const End end = search.run(local_.data(), [&found](const Mask*) {
            found = true;
            return false;
        });
        spent_ += limits.used;
        return end == End::exhausted && !found;
    }

    Model& model_;
    Question& asked_;
    Mask full_;
    std::uint64_t spent_ = 0;
    std::optional<Lease> space_;
    std::vector<Mask> local_;
    std::vector<int> kept_;
};

}  // namespace

Shrunk shrink(Model& model, Question question) {
    Filter filter(model, question);
    // A look at the whole puzzle is not told clue by clue: there the marks that it relies on cost more.
    const bool whole = question.primitives.size() > kWhole;
    if (!whole) filter.drop_primitives();
    filter.drop_facts();
    if (whole) filter.drop_primitives();
    if (question.target >= 0 && question.kept != 0) filter.deny_more();
    return {std::move(question.primitives), std::move(question.domains)};
}

}  // namespace saywhy
