#pragma once

#include <pybind11/pybind11.h>

#include <cstddef>

#include "gil.hpp"

namespace airchain::bindings {

namespace py = pybind11;

/// What the core calls between tiles, without the GIL: tells a Python callable (or None) and lets
/// Ctrl-C through. After the run, `rethrow` raises what stopped it.
class ProgressRelay {
 public:
  explicit ProgressRelay(const py::object& progress) : progress_(progress) {}

  bool operator()(std::size_t done) {
    const WithGil held;
    if (PyErr_CheckSignals() != 0) failed_ = true;
    if (!failed_ && !progress_.is_none()) {
      try {
        progress_(done);
      } catch (py::error_already_set& error) {
        error.restore();
        failed_ = true;
      }
    }
    return !failed_;
  }

  void rethrow() const {
    if (failed_) throw py::error_already_set();
  }

 private:
  const py::object& progress_;
  bool failed_ = false;
};

}  // namespace airchain::bindings
