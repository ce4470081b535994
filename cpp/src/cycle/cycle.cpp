#include "airchain/cycle/cycle.hpp"

#include <utility>

#include "airchain/base/guards.hpp"
#include "airchain/cycle/lanes.hpp"
#include "airchain/cycle/spark.hpp"

namespace airchain::cycle {

void validate(const Setup& setup, const std::vector<Point<double>>& points,
              const Controls& controls) {
  validate(setup);
  base::require_fields(controls);
  base::require_that(!points.empty(), "Cycle", "there are no points", "at least one");
  for (const auto& p : points) base::require_fields(p);
}

namespace {

struct Machine {
  Grids grids;
  CourseRunner<double> runner;

  Machine(const Setup& s, const Controls& controls) : grids(s), runner(s, grids, controls) {}

  void run(Course& course) {
    Course* next = &course;
    runner.run([&] { return std::exchange(next, nullptr); });
  }
  std::vector<CycleResult> run(const std::vector<Point<double>>& points) {
    std::vector<CycleResult> results(points.size());
    Line line(points.data(), results.data(), points.size());
    run(line);
    return results;
  }
};

double pressure_at_valve(const pipe::Pipe<double, gas::Charge>& pipe, double outside) {
  return pipe.size() == 0 ? outside : pipe.cell(pipe.size() - 1).pressure;
}

TraceRow row_of(const Kernel<double>& k, const pipe::Flux<double>& in,
                const pipe::Flux<double>& out, double intake_area, double exhaust_area) {
  const auto& s = k.setup();
  TraceRow row{};
  row.angle = k.angle;
  row.pressure = k.vessel.pressure;
  row.temperature = k.vessel.temperature;
  row.unburned_temperature = k.unburned_temperature;
  row.volume = k.vessel.volume;
  row.burned = k.tally.burned;
  row.intake_pressure = pressure_at_valve(k.intake_pipe, k.point.plenum_pressure);
  row.exhaust_pressure = pressure_at_valve(k.exhaust_pipe, k.point.exhaust_pressure);
  row.intake_flow = in.mass * intake_area;
  row.exhaust_flow = -out.mass * exhaust_area;
  row.intake_area = s.intake_valve.area.at(k.angle);
  row.exhaust_area = s.exhaust_valve.area.at(k.angle);
  return row;
}

}  // namespace

std::vector<CycleResult> solve_line(const Setup& setup, const std::vector<Point<double>>& points,
                                    const Controls& controls) {
  validate(setup, points, controls);
  return Machine(setup, controls).run(points);
}

SparkResult find_spark(const Setup& setup, const Point<double>& point, const SparkSearch& search,
                       const Controls& controls) {
  validate(setup, {point}, controls);
  validate(search, setup);
  SparkResult result;
  SparkCourse course(setup, point, search, result);
  Machine(setup, controls).run(course);
  return result;
}

Traced trace(const Setup& setup, const Point<double>& point, const Controls& controls) {
  validate(setup, {point}, controls);
  Machine machine(setup, controls);
  Traced traced{machine.run({point})[0], {}};
  auto& k = machine.runner.kernel();
  machine.runner.begin_cycle(0);
  while (k.angle < k.end_angle() - 1e-9)
    k.step([&](const Kernel<double>& now, double, const auto& in, const auto& out) {
      traced.rows.push_back(
          row_of(now, in, out, machine.grids.intake.right_area(), machine.grids.exhaust.right_area()));
    });
  return traced;
}

}  // namespace airchain::cycle
