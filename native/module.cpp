// The Python face of the core: lists of masks in, lists and tuples out, nothing clever.
#include <nanobind/nanobind.h>
#include <nanobind/stl/optional.h>
#include <nanobind/stl/pair.h>
#include <nanobind/stl/tuple.h>
#include <nanobind/stl/vector.h>

#include <algorithm>
#include <stdexcept>

#include "cover.h"
#include "lookout.h"
#include "looks.h"

namespace nb = nanobind;
using namespace nb::literals;
using namespace saywhy;

namespace {

// Up to so many fillings are gone through one by one: remembering counts takes some memory.
constexpr std::uint64_t kFew = 1000;

struct Cancel {
    std::atomic<bool> set{false};
};

using Ids = std::vector<int>;
using Masks = std::vector<Mask>;

std::vector<Mask> checked(const Model& model, const Masks& domains) {
    if (static_cast<int>(domains.size()) != model.cells()) {
        throw std::invalid_argument("domains: one mask for each of the " + std::to_string(model.cells()) +
                                    " cells expected, " + std::to_string(domains.size()) + " came");
    }
    return domains;
}

// The limits of one call. Waiting signals (Ctrl-C) are looked at from inside the search; `raise()` then hands
// the exception on.
class Call {
  public:
    Call(std::optional<std::uint64_t> nodes, std::optional<double> seconds, const Cancel* cancel) {
        if (nodes) limits.nodes = *nodes;
        if (seconds) {
            if (!(*seconds >= 0)) throw std::invalid_argument("seconds: 0 or more expected");
            const auto span = std::chrono::duration<double>(std::min(*seconds, 1e8));
            limits.deadline = std::chrono::steady_clock::now() +
                              std::chrono::duration_cast<std::chrono::steady_clock::duration>(span);
        }
        if (cancel) limits.cancel = &cancel->set;
        limits.interrupted = [this] {
            const nb::gil_scoped_acquire held;
            return raised_ = PyErr_CheckSignals() != 0;
        };
    }
    void raise() const {
        if (raised_) throw nb::python_error();
    }
    Limits limits;

  private:
    bool raised_ = false;
};

struct Opened {
    Opened(Model& model, const std::optional<Ids>& primitives, const Masks& domains) : space(model) {
        if (primitives) {
            space->open(*primitives);
        } else {
            space->open_all();
        }
        local.resize(space->state_size());
        space->gather(domains, local.data());
    }
    Lease space;
    std::vector<Mask> local;
};

std::vector<int> digits_of(const Space& space, const Mask* filling, int cells) {
    std::vector<int> digits(cells, 0);
    for (int cell = 0; cell < space.cells(); ++cell) digits[space.global(cell)] = lowest(filling[cell]) + 1;
    return digits;
}

auto search(Model& model, const std::optional<Ids>& primitives, const Masks& given, std::uint64_t limit,
            std::size_t keep, std::optional<std::uint64_t> nodes, std::optional<double> seconds,
            const Cancel* cancel, std::uint64_t seed) {
    const Masks domains = checked(model, given);
    Call call(nodes, seconds, cancel);
    std::vector<std::vector<int>> kept;
    std::uint64_t found = 0;
    bool finished = true;
    {
        const nb::gil_scoped_release free;
        Opened opened(model, primitives, domains);
        Space& space = *opened.space;
        if (limit == 0) {
            finished = false;
        } else if (space.settle(opened.local.data())) {
            Search search(space, call.limits, seed);
            const auto visit = [&](const Mask* filling) {
                if (kept.size() < keep) kept.push_back(digits_of(space, filling, model.cells()));
                return ++found < limit;
            };
            const bool many = keep == 0 && limit > kFew;
            const End end = many ? search.count(opened.local.data(), limit, found) : search.run(opened.local.data(), visit);
            finished = end == End::exhausted;
        }
    }
    call.raise();
    return std::make_tuple(found, kept, finished, call.limits.used, call.limits.out);
}

auto supports(Model& model, const std::optional<Ids>& primitives, const Masks& given,
              std::optional<std::uint64_t> nodes, std::optional<double> seconds, const Cancel* cancel,
              std::uint64_t seed) {
    Masks domains = checked(model, given);
    Call call(nodes, seconds, cancel);
    bool finished = false;
    {
        const nb::gil_scoped_release free;
        Opened opened(model, primitives, domains);
        finished = support(*opened.space, opened.local.data(), call.limits, seed);
        opened.space->scatter(opened.local.data(), domains);
    }
    call.raise();
    return std::make_tuple(domains, finished, call.limits.used);
}

auto fillings(Model& model, const std::optional<Ids>& primitives, const std::vector<int>& cells, const Masks& given,
              std::size_t limit, std::optional<std::uint64_t> nodes, std::optional<double> seconds,
              const Cancel* cancel) {
    const Masks domains = checked(model, given);
    Call call(nodes, seconds, cancel);
    std::vector<std::vector<int>> found;
    bool finished = true;
    {
        const nb::gil_scoped_release free;
        Opened opened(model, primitives, domains);
        Space& space = *opened.space;
        std::vector<int> local;
        for (const int cell : cells) {
            if (cell < 0 || cell >= model.cells() || space.local(cell) < 0) {
                throw std::invalid_argument("cells: " + std::to_string(cell) + " is touched by none of the primitives");
            }
            local.push_back(space.local(cell));
        }
        if (limit == 0) {
            finished = false;
        } else if (space.settle(opened.local.data())) {
            Search search(space, call.limits);
            const End end = search.project(opened.local.data(), local, [&](const Mask* filling) {
                std::vector<int> digits;
                for (const int cell : local) digits.push_back(lowest(filling[cell]) + 1);
                found.push_back(std::move(digits));
                return found.size() < limit;
            });
            finished = end == End::exhausted;
        }
    }
    call.raise();
    return std::make_tuple(found, finished);
}

auto shrunk(Model& model, const Ids& primitives, const Masks& domains, int target, Mask denied, Mask kept,
            const Masks& marked, const std::vector<bool>& placed, std::uint64_t nodes, std::uint64_t total) {
    if (target < -1 || target >= model.cells()) throw std::invalid_argument("target: a cell or -1 expected");
    if (placed.size() != domains.size()) throw std::invalid_argument("placed: one flag a cell expected");
    Question question{primitives, checked(model, domains), target, denied, kept, checked(model, marked), placed, nodes, total};
    const nb::gil_scoped_release free;
    Shrunk left = shrink(model, std::move(question));
    return std::make_pair(std::move(left.primitives), std::move(left.domains));
}

auto shown(Lookout& lookout, const Masks& given, const std::vector<int>& looks) {
    const Masks domains = checked(lookout.model(), given);
    std::vector<std::pair<int, std::vector<std::pair<int, Mask>>>> told;
    const nb::gil_scoped_release free;
    for (Lookout::Shown& shown : lookout.shown(domains, looks)) told.emplace_back(shown.place, std::move(shown.gone));
    return told;
}

auto chosen(const Cover& cover, const std::vector<std::tuple<int, Mask, Mask>>& given, const std::vector<int>& placed,
            const std::vector<int>& called, const std::tuple<double, double, double, double>& costs) {
    const auto [filled, seen, again, mark] = costs;
    std::vector<Cover::Need> needs;
    for (const auto& [cell, asked, marked] : given) needs.push_back({cell, asked, marked});
    std::vector<std::tuple<int, int, Mask>> told;
    for (const auto& [along, cell, digits] : cover.choose(needs, placed, called, {filled, seen, again, mark})) {
        told.emplace_back(along, cell, digits);
    }
    return told;
}

nb::list as_list(const std::vector<Turn>& turns) {
    nb::list told;
    for (const Turn& turn : turns) {
        told.append(nb::make_tuple(static_cast<int>(turn.kind), turn.primitive, turn.cell, turn.digits, turn.removed,
                                   as_list(turn.inner)));
    }
    return told;
}

nb::object followed(Follower& follower, const Masks& given, int cell, Mask digit, int depth, int waves) {
    const Masks domains = checked(follower.model(), given);
    if (cell < 0 || cell >= follower.model().cells()) throw std::invalid_argument("cell: a cell of the model expected");
    if (!is_single(static_cast<Mask>(digit & domains[cell]))) throw std::invalid_argument("digit: one open digit expected");
    std::optional<Story> story;
    {
        const nb::gil_scoped_release free;
        story = follower.follow(domains, cell, static_cast<Mask>(digit & domains[cell]), depth, waves);
    }
    return story ? nb::object(as_list(story->turns)) : nb::none();
}

nb::object cheapest(Follower& follower, const Masks& given, int depth, int weighed, int longest, int widest) {
    const Masks domains = checked(follower.model(), given);
    std::optional<Story> story;
    {
        const nb::gil_scoped_release free;
        story = follower.cheapest(domains, depth, weighed, longest, widest);
    }
    if (!story) return nb::none();
    return nb::make_tuple(story->cell, story->digit, as_list(story->turns));
}

}  // namespace

NB_MODULE(_native, m) {
    m.doc() = "The native core: cells, digits and five primitives; see saywhy.engine for the calls to use.";

    nb::class_<Cancel>(m, "Cancel", "A flag that stops a running query, from any thread.")
        .def(nb::init<>())
        .def("set", [](Cancel& self) { self.set = true; }, "Stop every query that was given this flag.")
        .def("clear", [](Cancel& self) { self.set = false; }, "Make the flag usable again.")
        .def_prop_ro("is_set", [](const Cancel& self) { return self.set.load(); }, "Whether it was set.");

    nb::class_<Model>(m, "Model", "Cells, digits 1 to n, and primitives; ids count from 0 in order of adding.")
        .def(nb::init<int, int>(), "n"_a, "cells"_a)
        .def("add_different", &Model::add_different, "cells"_a, "Add: no digit twice among these cells.")
        .def("add_linear", &Model::add_linear, "coefficients"_a, "cells"_a, "total"_a,
             "Add: the weighted sum equals the total.")
        .def("add_pair", &Model::add_pair, "a"_a, "b"_a, "table"_a,
             "Add: a relation; ``table[d - 1]`` is the mask that digit d of ``a`` allows in ``b``.")
        .def("add_regular", &Model::add_regular, "cells"_a, "moves"_a, "accepting"_a,
             "Add: a word of an automaton; ``moves[state * n + d - 1]`` is the next state or -1.")
        .def("add_count", &Model::add_count, "cells"_a, "Add: each digit d that occurs here occurs d times.")
        .def("close", &Model::close, "Leave primitives added from now on out of queries on the whole problem.")
        .def("satisfied", &Model::satisfied, "filling"_a, "Say for each primitive whether it holds on a filling.")
        .def_prop_ro("digits", &Model::digits, "The largest digit.")
        .def_prop_ro("cells", &Model::cells, "The number of cells.")
        .def("__len__", &Model::size)
        .def("search", &search, "primitives"_a.none(), "domains"_a, "limit"_a, "keep"_a, "nodes"_a.none() = nb::none(),
             "seconds"_a.none() = nb::none(), "cancel"_a.none() = nb::none(), "seed"_a = 0,
             "Search for up to ``limit`` fillings: (found, first ``keep`` of them, exhausted, nodes, out of budget).")
        .def("supports", &supports, "primitives"_a.none(), "domains"_a, "nodes"_a.none() = nb::none(),
             "seconds"_a.none() = nb::none(), "cancel"_a.none() = nb::none(), "seed"_a = 0,
             "Give (digits that occur in some joint filling, finished, nodes).")
        .def("fillings", &fillings, "primitives"_a.none(), "cells"_a, "domains"_a, "limit"_a,
             "nodes"_a.none() = nb::none(), "seconds"_a.none() = nb::none(), "cancel"_a.none() = nb::none(),
             "List up to ``limit`` distinct choices of digits for ``cells`` that can be filled up: (list, complete).");

    m.def("shrink", &shrunk, "model"_a, "primitives"_a, "domains"_a, "target"_a, "denied"_a, "kept"_a, "marked"_a,
          "placed"_a, "nodes"_a, "total"_a,
          "Drop premises of a look while it still denies the target these digits: (primitives, domains) left.");

    nb::class_<Cover>(m, "Cover", "Chooses few things that show together that digits are gone from cells.")
        .def(nb::init<int, int>(), "digits"_a, "cells"_a)
        .def("add_different", &Cover::add_different, "along"_a, "cells"_a,
             "Add: these cells all differ, which is seen along something (a number from 0).")
        .def("add_pair", &Cover::add_pair, "along"_a, "a"_a, "b"_a, "table"_a,
             "Add: a relation as of ``Model.add_pair``, seen along something.")
        .def("choose", &chosen, "needs"_a, "placed"_a, "called"_a, "costs"_a,
             "Choose for (cell, digits asked for, those of them that a mark shows gone).\n\n"
             "``placed`` is one digit a cell, 0 where none; ``called`` are the numbers along which digits are seen\n"
             "that are in mind. ``costs`` are those of a reminder of a digit in the cell itself, of one seen, of one\n"
             "seen along something in mind, and of a mark.\n\n"
             "Gives (along, cell, digits): where digits are named, a mark on these; else the digit that stands in\n"
             "the cell, seen along something where that is not -1.");

    nb::class_<Lookout>(m, "Lookout", "Keeps looks with what they last showed.")
        .def(nb::init<Model&, std::uint64_t>(), "model"_a, "nodes"_a, nb::keep_alive<1, 2>())
        .def("add", &Lookout::add, "primitives"_a, "apart"_a,
             "Add a look and give its number; what a look of ``apart`` shows alone is not counted as shown by it.")
        .def("shown", &shown, "domains"_a, "looks"_a,
             "Give (place, [(cell, digits gone)]) for those of these looks that show anything, in order.");

    nb::class_<Follower>(m, "Follower", "Follows suppositions through single primitives to a contradiction.")
        .def(nb::init<Model&, int, const std::vector<int>&>(), "model"_a, "stated"_a, "houses"_a, nb::keep_alive<1, 2>())
        .def("gain",
             [](Follower& self, const Masks& domains, int cell, Mask digits) {
                 if (cell < 0 || cell >= self.model().cells()) throw std::invalid_argument("cell: a cell of the model expected");
                 return self.gain(checked(self.model(), domains), cell, digits);
             },
             "domains"_a, "cell"_a, "digits"_a,
             "Count the digits that go in all when these do and single primitives are followed.")
        .def("follow", &followed, "domains"_a, "cell"_a, "digit"_a, "depth"_a, "waves"_a = Follower::kAll,
             "Suppose a digit (a mask of one) and give the turns to its contradiction, or None where none is met\n"
             "in so many waves (-1 for as many as there are).\n\n"
             "Suppositions may stand ``depth`` deep inside it. A turn is\n"
             "(kind, primitive, cell, digits, removed, inner turns), kinds as in native/looks.h.",
             nb::sig("def follow(self, domains: Sequence[int], cell: int, digit: int, depth: int, waves: int = -1) -> "
                     "list[typing.Any] | None"))
        .def("cheapest", &cheapest, "domains"_a, "depth"_a, "weighed"_a, "longest"_a, "widest"_a,
             "Suppose each digit of the cells that have at most ``widest``, cells of few digits first, until\n"
             "``weighed`` have failed, and give the one that strikes out most for its length: (cell, digit,\n"
             "turns), or None.\n\n"
             "Suppositions may stand ``depth`` deep inside it; its turns, as ``follow`` gives them, make at most\n"
             "``longest`` steps.",
             nb::sig("def cheapest(self, domains: Sequence[int], depth: int, weighed: int, longest: int, "
                     "widest: int) -> "
                     "tuple[int, int, list[typing.Any]] | None"));
}
