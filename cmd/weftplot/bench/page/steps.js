// The steps, in the trade's order. A step is a file of its own: a function of the
// bench that returns {step, box, brief(job, news), show(job, offered, news)}. Step
// is its name in text.js (stepIDs, and stepNames at the same place), box what
// stands on it, brief the few words under its name, and show brings it up to date.
//
// A part that belongs to a step, such as paper, letters, kits or loads, is a file
// too and stands in parts, by the name of its step: the same function, whose box is
// put below what the step has. It is shown with its step.
import { drawing } from './drawing.js';
import { font } from './font.js';
import { rug } from './rug.js';
import { kit } from './kit.js';
import { loads } from './loads.js';
import { repeat } from './repeat.js';
import { weave } from './weave.js';
import { sides } from './sides.js';
import { transfer } from './transfer.js';
import { printing } from './printing.js';
import { machine } from './machine.js';
import { marks } from './marks.js';
import { dryrun } from './dryrun.js';
import { drawIt } from './draw.js';

export const steps = [drawing, rug, sides, transfer, machine, marks, dryrun, drawIt];

export const parts = { drawing: [font], rug: [loads, kit, repeat, weave], sides: [], transfer: [printing], machine: [], marks: [], dryrun: [], draw: [] };
