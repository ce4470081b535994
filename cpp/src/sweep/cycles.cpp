#include "airchain/sweep/cycles.hpp"

#include "airchain/base/guards.hpp"
#include "airchain/sweep/courses.hpp"

namespace airchain::sweep {

bool run_cycles(const cycle::Setup& setup, const Points& points, const cycle::Controls& controls,
                cycle::CycleResult* out, int threads, const Progress& progress, std::size_t line) {
  cycle::validate(setup, points, controls);
  base::require_that(
      line > 0 && points.size() % line == 0,
      {.where = "Cycle",
       .field = "line",
       .value = std::to_string(line) + " of " + std::to_string(points.size()) + " points",
       .rule = "be a divisor of the number of points"});
  std::vector<cycle::Line> lines;
  for (std::size_t i = 0; i < points.size(); i += line)
    lines.emplace_back(&points[i], &out[i], line);
  return run_courses(setup, points, controls, threads, progress, std::move(lines));
}

bool run_spark_searches(const cycle::Setup& setup, const Points& points,
                        const cycle::SparkSearch& search, const cycle::Controls& controls,
                        cycle::SparkResult* out, int threads, const Progress& progress) {
  cycle::validate(setup, points, controls);
  cycle::validate(search, setup);
  std::vector<cycle::SparkCourse> courses;
  for (std::size_t i = 0; i < points.size(); ++i)
    courses.emplace_back(setup, points[i], search, out[i]);
  return run_courses(setup, points, controls, threads, progress, std::move(courses));
}

}  // namespace airchain::sweep
