#include "airchain/engine/engine.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "airchain/base/guards.hpp"
#include "airchain/engine/run.hpp"

namespace airchain::engine {

namespace {

constexpr double kCycle = 4.0 * base::kPi;

template <class Station>
bool alike(const Station& a, const Station& b) {
  return std::apply([&](const auto&... f) { return ((a.*f.member == b.*f.member) && ...); },
                    Station::fields());
}

std::size_t at(int i) { return static_cast<std::size_t>(i); }

void require(bool holds, const std::string& statement, const char* rule, const char* hint = "") {
  base::require_that(holds, Engine::kName, statement, rule, hint);
}

/// Collectors that feed each other, or that nothing feeds.
void validate_collectors(const Engine& e) {
  const int count = e.collector_count();
  require(e.collectors.size() <= 1 || static_cast<int>(e.collectors.size()) == count,
          std::to_string(e.collectors.size()) + " collectors and cylinders that end in " +
              std::to_string(count),
          "none, one that stands for all, or each");
  require(e.into.empty() || e.into.size() == e.collectors.size(),
          std::to_string(e.into.size()) + " ways out of " + std::to_string(e.collectors.size()) +
              " collectors",
          "one for each, or none");
  std::vector<bool> fed(static_cast<std::size_t>(count), false);
  for (int c : e.collector) fed[static_cast<std::size_t>(c)] = true;
  for (std::size_t r = 0; r < e.into.size(); ++r) {
    const int into = e.into[r];
    const std::string name = "collector " + std::to_string(r);
    require(into >= -1 && into < static_cast<int>(r), name + " ends in " + std::to_string(into),
            "in one before it, or outside, -1");
    if (into < 0) continue;
    require(e.collectors[r].has_pipe(), name + " ends in another without a pipe", "with one");
    fed[static_cast<std::size_t>(into)] = true;
  }
  for (int c = 0; c < count; ++c)
    require(fed[static_cast<std::size_t>(c)], "collector " + std::to_string(c) + " has no primary",
            "one at least");
}

}  // namespace

cycle::Runner Room::none() {
  cycle::Runner pipe;
  pipe.taper = {1.0, 0.1, 0.1};
  pipe.cells = 0.0;
  return pipe;
}

void validate(const Room& room) {
  base::require_fields(room);
  if (room.has_pipe()) cycle::validate(room.pipe);
  if (!room.opening) return;
  base::require_fields(*room.opening);
  base::require_that(!room.has_pipe(), Room::kName, "a pipe and an opening",
                     "one of them: the opening stands in place of the pipe");
}

int Engine::collector_count() const {
  int count = 1 < collectors.size() ? static_cast<int>(collectors.size()) : 0;
  for (int c : collector) count = std::max(count, c + 1);
  return count;
}

void validate(const Engine& e) {
  const std::size_t n = e.cylinders();
  require(n > 0, "there are no cylinders", "at least one");
  require(e.firing.size() == n && e.collector.size() == n,
          std::to_string(n) + " cylinders, " + std::to_string(e.firing.size()) +
              " firing angles and " + std::to_string(e.collector.size()) + " collectors",
          "as many of each");
  for (const auto& kind : e.kinds) cycle::validate(kind);
  const int kinds = static_cast<int>(e.kinds.size());
  for (int k : e.kind)
    require(k >= 0 && k < kinds, "kind " + std::to_string(k), "one of the kinds, from 0");
  for (double a : e.firing)
    base::require(Engine::kName, "firing", a, "rad", base::between(0.0, kCycle));
  for (int c : e.collector)
    require(c >= 0 && c < static_cast<int>(n), "collector " + std::to_string(c),
            "from 0, fewer than the cylinders");
  validate_collectors(e);
  base::require(Engine::kName, "mark", e.mark, "rad", base::between(0.0, 0.1));
  require(e.plenum.size() <= 1, "several plenums", "one, or none");
  for (const auto* side : {&e.plenum, &e.collectors})
    for (const Room& room : *side) validate(room);
}

void validate(const Engine& engine, const std::vector<EnginePoint>& points,
              const cycle::Controls& controls) {
  validate(engine);
  std::vector<cycle::Point<double>> plain;
  for (const EnginePoint& p : points) {
    plain.push_back(p.point);
    require(p.later.empty() || p.later.size() == engine.cylinders(),
            std::to_string(p.later.size()) + " trims of the spark",
            "as many as there are cylinders, or none");
    for (double later : p.later) {
      auto moved = p.point;
      moved.half_burned += later;
      moved.spark += later;
      const auto& first = engine.kinds.front();
      const bool by_spark = first.phasing == cycle::Phasing::spark;
      base::require(cycle::Point<double>::kName, by_spark ? "spark" : "half_burned",
                    by_spark ? moved.spark : moved.half_burned, "rad",
                    by_spark ? base::between(-1.3, 0.5) : base::between(-0.3, 1.0),
                    "a cylinder's trim moves it there");
    }
  }
  for (const auto& kind : engine.kinds) cycle::validate(kind, plain, controls);
}

Prepared::Prepared(const Engine& engine) : engine_(&engine), nothing_(engine.cylinders(), 0.0) {
  const int n = static_cast<int>(engine.cylinders());
  std::vector<int> order;  // of the kinds, as cylinders name them: the first one's first
  for (int kind : engine.kind)
    if (std::find(order.begin(), order.end(), kind) == order.end()) order.push_back(kind);
  members_.reserve(order.size());
  for (int kind : order) {
    const auto& setup = engine.kinds[static_cast<std::size_t>(kind)];
    grids_.push_back(std::make_unique<cycle::Grids>(setup));
    const auto& g = *grids_.back();
    coarsens_ |= g.coarsens();
    members_.emplace_back();
    for (int c = 0; c < n; ++c)
      if (engine.kind[static_cast<std::size_t>(c)] == kind) members_.back().push_back(c);
    groups_.push_back({&setup, &g.intake, &g.exhaust, &g.coarse_intake, &g.coarse_exhaust,
                       members_.back().data(), static_cast<int>(members_.back().size())});
  }
  for (const Room& room : engine.plenum) plenum_plans_.add(room, -1);
  const int count = engine.collector_count();
  for (int r = 0; !engine.collectors.empty() && r < count; ++r)
    collector_plans_.add(engine.collectors[engine.collectors.size() > 1 ? at(r) : 0],
                         engine.into.empty() ? -1 : engine.into[at(r)]);
  for (const Group& g : groups_)
    for (int i = 0; i < g.count; ++i) {
      const int room = engine.collector[at(g.cylinders[i])];
      const auto open_into = [](RoomPlan& plan, const pipe::Shape& pipe) {
        plan.mouths += pipe.left_area();
        for (int cell = 0; cell < pipe.cells(); ++cell) plan.pipes += pipe.view().volume[cell];
      };
      if (!engine.plenum.empty()) open_into(plenum_plans_.rooms[0], *g.intake);
      if (!engine.collectors.empty()) open_into(collector_plans_.rooms[at(room)], *g.exhaust);
    }
  plenum_ = side_of(plenum_plans_, 1);
  collectors_ = side_of(collector_plans_, count);
}

void Prepared::Plans::add(const Room& room, int into) {
  const double opening = room.opening ? room.opening->area * room.opening->discharge_coefficient *
                                            room.opening->opening
                                      : 0.0;
  RoomPlan plan{room.volume, opening, 0.0, opening, nullptr, nullptr, room.pipe.wall_temperature,
                into};
  if (room.has_pipe()) {
    const auto same = [&](std::size_t i) {
      return alike(pipes[i], room.pipe) && alike(pipes[i].taper, room.pipe.taper) &&
             outer[i] == room.outer_correction;
    };
    std::size_t i = 0;
    while (i < pipes.size() && !same(i)) ++i;
    if (i == pipes.size()) {
      pipes.push_back(room.pipe);
      outer.push_back(room.outer_correction);
      shapes.push_back(std::make_unique<pipe::Shape>(room.pipe.shape(room.outer_correction)));
      coarse.push_back(
          std::make_unique<pipe::Shape>(room.pipe.coarser().shape(room.outer_correction)));
    }
    plan.shape = shapes[i].get();
    plan.coarse = coarse[i].get();
    plan.mouths += plan.shape->left_area();
    if (into >= 0) rooms[at(into)].mouths += plan.shape->right_area();
  }
  rooms.push_back(plan);
}

Side Prepared::side_of(const Plans& plans, int count) {
  return {count, plans.rooms.empty(), plans.rooms.data()};
}

Task Prepared::task(const EnginePoint& point, const cycle::Controls& controls, EngineResult& result,
                    Summary& summary) const {
  result = {};
  result.cylinders.resize(engine_->cylinders());
  result.rooms.resize(1 + static_cast<std::size_t>(collectors_.count));
  Task t{};
  t.groups = groups_.data();
  t.group_count = static_cast<int>(groups_.size());
  t.cylinders = static_cast<int>(engine_->cylinders());
  t.firing = engine_->firing.data();
  t.later = point.later.empty() ? nothing_.data() : point.later.data();
  t.collector = engine_->collector.data();
  t.mark = engine_->mark;
  t.plenum = plenum_;
  t.collectors = collectors_;
  t.point = point.point;
  t.controls = controls;
  t.coarsens = coarsens_;
  t.results = result.cylinders.data();
  t.rooms = result.rooms.data();
  t.summary = &summary;
  return t;
}

void Prepared::finish(const Summary& summary, EngineResult& result) {
  result.rounds = summary.rounds;
  result.converged = summary.converged;
  const double none = std::nan("");
  const auto numbers = [&](double& value, double told) { value = summary.finite ? told : none; };
  numbers(result.change, summary.change);
  numbers(result.mass_error, summary.mass_error);
  numbers(result.energy_error, summary.energy_error);
  if (!summary.finite)
    for (RoomState& room : result.rooms) room = {none, none, none};
  for (auto& r : result.cylinders) {
    r.converged = summary.converged && !r.refused;
    r.cycles = summary.rounds;
    if (summary.finite && !r.refused) continue;
    for (const auto& number : cycle::kResultNumbers)
      if (number.member != &cycle::CycleResult::cycles) r.*number.member = none;
  }
}

std::size_t Prepared::row_size() const {
  return 2 + static_cast<std::size_t>(collectors_.count) + 3 * engine_->cylinders();
}

namespace {

struct Asked {
  const std::function<bool()>* go_on;
  EngineTrace* trace;
  std::vector<double> row;

  static bool ask(void* context) {
    const auto& go_on = *static_cast<Asked*>(context)->go_on;
    return !go_on || go_on();
  }
  static void keep(void* context) {
    auto& self = *static_cast<Asked*>(context);
    auto& values = self.trace->values;
    values.insert(values.end(), self.row.begin(), self.row.end());
  }
};

}  // namespace

EngineResult solve(const Engine& engine, const EnginePoint& point, const cycle::Controls& controls,
                   EngineTrace* trace, const std::function<bool()>& go_on) {
  validate(engine, {point}, controls);
  const Prepared prepared(engine);
  EngineResult result;
  Summary summary{};
  Task task = prepared.task(point, controls, result, summary);
  Asked asked{&go_on, trace, std::vector<double>(prepared.row_size())};
  task.context = &asked;
  task.go_on = Asked::ask;
  task.row = asked.row.data();
  if (trace != nullptr) {
    *trace = {{}, prepared.row_size()};
    task.watch = Asked::keep;
  }
  if (!Run<double>(task)()) return {};
  Prepared::finish(summary, result);
  return result;
}

}  // namespace airchain::engine
