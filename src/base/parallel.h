#pragma once

#include <cstddef>
#include <functional>

namespace drydepth {

/// Calls work(k) once for each k below count, on up to `threads` threads (0: as many as
/// the machine has). Calls must not depend on each other; what each writes must be its
/// own, so that results do not depend on the number of threads.
void for_each_index(std::size_t count, unsigned threads,
                    const std::function<void(std::size_t)>& work);

}  // namespace drydepth
