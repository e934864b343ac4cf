#include "guard/queue.h"

#include <algorithm>

namespace drydepth {
namespace {

const ToolTrace* find_tool(const Trace& trace, int tool) {
  for (const ToolTrace& t : trace.tools) {
    if (t.tool == tool) return &t;
  }
  return nullptr;
}

}  // namespace

std::vector<QueuedJob> make_queue(std::vector<QueuedJob> jobs, double between_s) {
  double start_s = 0;
  for (QueuedJob& job : jobs) {
    job.start_s = start_s;
    start_s += job.trace.duration_s + between_s;
  }
  return jobs;
}

std::vector<DrawPoint> queue_curve(const std::vector<QueuedJob>& queue, int tool,
                                   const SpoolRecord& record,
                                   const Material& material) {
  std::vector<DrawPoint> out{DrawPoint{}};
  for (const QueuedJob& job : queue) {
    const double before_kg = out.back().mass_kg;
    if (job.start_s > out.back().time_s) out.push_back({job.start_s, before_kg});
    const ToolTrace* trace = find_tool(job.trace, tool);
    const auto curve = draw_curve(trace ? *trace : ToolTrace{}, job.trace.duration_s,
                                  record, material);
    for (std::size_t k = 1; k < curve.size(); ++k) {
      out.push_back({job.start_s + curve[k].time_s, before_kg + curve[k].mass_kg});
    }
  }
  return out;
}

QueuePlace queue_place(const std::vector<QueuedJob>& queue, int tool,
                       double length_mm) {
  QueuePlace out;
  double before_mm = 0;
  for (std::size_t k = 0; k < queue.size(); ++k) {
    const ToolTrace* trace = find_tool(queue[k].trace, tool);
    if (trace == nullptr) continue;
    out.job = k;
    out.place = place_of(queue[k].trace, *trace, length_mm - before_mm);
    if (length_mm <= before_mm + trace->length_mm) return out;
    before_mm += trace->length_mm;
  }
  return out;
}

}  // namespace drydepth
