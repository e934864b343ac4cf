#pragma once

// Options that several commands share, and the words of a request that they fill.

#include "app/job/job_spools.h"
#include "app/job/plan_actions.h"
#include "app/outputs/into.h"
#include "app/request/reading_words.h"
#include "app/request/settings.h"
#include "cli/command.h"

namespace drydepth {

void add_shelf_options(Command& command, SharedWords& words);
void add_model_options(Command& command, SharedWords& words);
void add_feed_options(Command& command, SharedWords& words);
void add_reading_options(Command& command, ReadingWords& words);
void add_job_options(Command& command, JobWords& words);
void add_action_options(Command& command, ActionWords& words);
void add_into_options(Command& command, IntoWords& words);

}  // namespace drydepth
