"""What people write, read in one way wherever it is typed: the night, day and plan files, pages, options.

| module | reads |
| --- | --- |
| `moments` | dates, times of day, spans (`time_written`, `span_written`), zones |
| `counts` | how many tries: `count_written` |
| `choices` | `crowds_written`, `support_written`, `sharpness_written`, `yes_written`, `says_nothing` |
| `filters` | `stack_written`, per keeper `stacks_written`; one stored name for each filter |
| `corrections` | how wrong a clock is: `correction_written`, said back by `correction_text` |
| `conditions` | an observation whose kind is known: `crowd: dozens at 17:20` |
| `elsewhen` | what speaks of another time, a forecast, a plan or a guess: `is_elsewhen` |
| `observations` | a free line at "what closed, flooded or changed": `observations_written` |
| `outcomes` | what became of a shot, and why: `outcome_written`, `reasons_written` |
| `keepers` | `keepers 0412-0419: nd64 + pol, braced` |
| `lines` | a line whose first word says what it is, and the same line written back |
| `entry` | what lines say, as frozen values |
| `understanding` | the refusal, and `understood`, the sentence that says what was read |

One surprising decision: what is not understood is refused with a sentence and never guessed; whoever wrote
the words keeps them.
"""
