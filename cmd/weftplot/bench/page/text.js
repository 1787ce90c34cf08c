// Every word of the page, in one place, so that it can be translated.
export const t = {
  title: 'weftplot bench',
  steps: 'Steps',
  stepNames: ['The drawing', 'The rug', 'Front and back', 'Onto the cloth', 'The machine', 'The cloth on the frame', 'The dry run', 'Drawing it'],
  stepIDs: ['drawing', 'rug', 'sides', 'transfer', 'machine', 'marks', 'dryrun', 'draw'],
  skip: 'Skip to the step',
  noAnswer: 'The program does not answer',
  noAnswerDo: 'look whether it still runs. If a machine is moving, use its own power switch',
  strange: 'This page does not belong to the program that runs now',
  strangeDo: 'open the address that it printed when it was started',
  noSecret: 'Open the address that the program printed: it ends in a # and a long word.',
  watching: 'Another page has the lead. This one may watch, and stop the machine.',
  simulated: 'simulated',
  thanks: 'Close this message',

  cloths: 'The two pictures', look: 'Look closer',
  closer: 'Closer', farther: 'Farther', whole: 'Whole rug', toLeft: 'Look left', toRight: 'Look right', toTop: 'Look up', toBottom: 'Look down',
  front: 'Front of the rug', back: 'Back of the rug', readsRight: 'words read right', asDrawn: 'mirrored, as the pen draws it',
  fromBehind: 'seen from behind, mirrored', drawnHere: 'The pen draws on this side.',
  lines: (n) => (n === 1 ? '1 line' : `${n} lines`),
  inWords: 'The pictures in words',
  pictureInWords: (j) => {
    const r = j.report;
    return `The finished rug is ${j.both.width} wide and ${j.both.height} high: ${j.rows[0]} by ${j.rows[1]} rows of holes on ${r.backing}, ${r.count}. `
      + `You look at ${j.side_says}. `
      + `It has ${t.lines(r.strokes)}, ${(r.draw_mm / 1000).toFixed(2)} m in all: ` + j.layers.map((l) => `${l.name} (${t.lines(l.strokes)}, ${l.pen})`).join('; ') + '. '
      + (j.settings.border ? `The border is ${j.settings.border === 'edge' ? 'one line at the edge' : `a line at the edge and one more after ${j.settings.border.split(',').join(', then ')} empty rows of holes`}. ` : 'There is no border. ')
      + (j.checked ? (j.findings.length ? `${j.findings.length} places are to be looked at; they are listed on the step Front and back.` : 'No place stands against it.') : '');
  },

  // 1
  drawing: 'Drawing', drawingHint: 'A drawing in SVG or DXF, or a scan or a photo of one in PNG, JPEG, TIFF, WebP or PDF. Choose it here, or drop it anywhere on the page.',
  drawingMissing: 'none yet', reading: 'Reading the drawing…',
  paperWidth: 'Width of the drawing on its paper', paperWidthHint: 'For a scan or a photo, from the leftmost line to the rightmost, such as 18cm or 7in. Say it before you choose the file; it may be left empty.',
  sheet: 'Sheet of paper', sheetHint: 'For a photo of a whole sheet, so that it can be made flat: letter, a4, 30x40cm. It may be left empty.',
  camera: 'Photograph the drawing', cameraTake: 'Take the photo', cameraEnd: 'Put the camera away', cameraNone: 'The camera cannot be used', cameraNoneDo: 'allow it in the browser, or choose a file',
  tooLarge: 'The file is larger than 100 MB, the most that is read', tooLargeDo: 'save the drawing smaller, or as lines',
  jobsHere: 'Jobs on this computer', openJob: (n) => `Open ${n}`,
  notRead: 'Not drawn, or to be looked at in the file', allRead: 'Everything in the file was read.',
  onPaper: 'The lines found on the paper', onPaperAlt: (n) => `The paper with ${t.lines(n)} found on it and doubtful places ringed`, strikeHint: 'Press on a line to strike it out.', lineBack: 'Take the last change back', doubtful: 'Doubtful places',
  paperIs: 'The drawing on the paper is wide', paperIsHint: 'From its leftmost line to its rightmost. Another width reads the paper again, without the changes below.', mm: (n) => `${n.toFixed(0)}mm`,
  gaps: 'Gaps', gapsHint: 'Ends of lines that lie near each other; the numbers stand on the paper.', noGaps: 'No two ends lie near each other.',
  placeOn: ([x, y], what) => `${x.toFixed(1)}, ${y.toFixed(1)} mm: ${what}`,
  gapLine: (n, g) => `${n}: ${g.wide.toFixed(1)} mm wide, at ${g.at[0].toFixed(1)}, ${g.at[1].toFixed(1)} mm`, closeGap: (n) => `Close gap ${n}`,
  layersOf: 'Layers', nowHere: (j) => `${j.name}, in the folder ${j.folder}`,

  // 2
  width: 'Finished width', height: 'Finished height', sizeHint: 'Such as 24in, 24-1/2in, 61cm, or 216rows of holes. The other side follows.',
  largest: (j) => `The largest that fits machine ${j.settings.machine} is about ${j.both.largest} wide.`,
  craft: 'Craft', punch: 'Punch needle', punchHint: 'worked from the back', hook: 'Hooking', hookHint: 'worked from the front',
  backing: 'Backing', backingHint: 'The cloth that the rug is worked on.',
  borders: 'Borders', bordersHint: 'Empty for none; edge for one line at the edge; 3 for a second line after 3 empty rows of holes; 4,2 for two more lines.',
  clearance: 'Rows free inside the border', clearanceHint: 'Rows of holes between the innermost border line and the drawing.',
  cut: (j) => `Cut the backing ${j.both.backing_width} × ${j.both.backing_height}: the rug and its margin on every side.`,
  rugBrief: (j) => `${j.both.width} × ${j.both.height}, ${j.settings.craft === 'hooking' ? 'hooked' : 'punched'}, ${j.report.backing} ${j.report.count}`,
  becomes: (j) => `Finished ${j.both.width} × ${j.both.height}, ${j.rows[0]} × ${j.rows[1]} rows of holes.`,

  // 3
  show: (n) => `Show ${n}`, findings: 'To be looked at', noFindings: 'Nothing was found that cannot be worked at this size.', stillChecking: 'Still looking…',
  findingsBrief: (n) => (n ? `${n} places to look at` : 'nothing stands against it'),
  warnings: 'About this job', noWarnings: 'Nothing stands against it.', more: (n) => `and ${n} more`,

  // 4
  transfer: 'Transfer', direct: 'Drawn on the backing', directHint: 'the machine draws on the cloth itself',
  tracing: 'Traced over light', tracingHint: 'the machine draws on paper, which is traced through the cloth on a light table or at a window',
  iron: 'Ironed on', ironHint: 'the machine draws on paper with a heat-transfer pen; the iron turns it over',
  nowSide: (j) => `The machine draws: ${j.side}. You look at ${j.side_says}.`,
  paperNext: 'The paper is drawn by the machine at full size, like a cloth. Use the pen that suits it, on the step The machine.',

  // 5
  machine: 'Machine', machineHint: 'The machine named practice is simulated: learn on it with the port sim.', port: 'Port', portHint: 'sim is the built-in simulated plotter: nothing moves.',
  otherPort: 'Another port', otherPortHint: 'A port that is not in the list, by its name.',
  pen: 'Pen', penHint: 'What draws, unless a layer has a pen of its own.', penFor: (l) => `Pen for ${l}`, penSame: 'the same pen',
  machineBrief: (s, simulated) => `${s.machine}${simulated ? ' (simulated)' : ''}, ${s.pen}`, ownProfile: (o) => `${o.kind}: ${o.name} `,
  ask: 'Ask the machine how it is spoken to', askNothing: 'It does not answer: it may be switched off, run at another speed, or only listen.', answers: (m) => `It answers as ${m.flow}: ${m.says}`,
  editor: 'Set up a machine, a backing or a pen of your own', editorKind: 'Kind of profile', editorKindHint: 'Begin with one that is like yours, give it a name of its own, and change what differs.',
  kinds: { machine: 'machine', backing: 'backing', pen: 'pen' },
  editorFrom: (k) => `Begin with the ${k} of this job`, editorText: (k) => `Profile of the ${k}`, editorCheck: 'Check it', editorKeep: 'Check it and keep it on this computer', editorGood: (n) => `It is a sound profile of ${n}.`, editorKept: (n) => `${n} is kept; it can be chosen from the list now.`,
  explained: 'What each value means',
  values: {
    machine: [
      ['name', 'What the machine is called in lists and programs: small letters, figures, hyphens.'],
      ['about', 'A sentence about it, for you.'],
      ['language', 'What it reads: gcode, hpgl or hpgl2. Its manual says which.'],
      ['area', 'How far the pen reaches to the right and away from you. Measure it; a line beyond is refused, never cut off.'],
      ['origin', 'Where the machine counts 0,0: lower-left or centre.'],
      ['park', 'Where the pen goes at the end, out of your way.'],
      ['speed.draw, speed.travel', 'The fastest it goes with the pen down and up. Begin slowly: a pen that is pulled too fast drags the cloth.'],
      ['speed.accel, speed.corner', 'How quickly it gains speed, and the greatest jump of speed at a corner. Its maker says; too much loses steps.'],
      ['lift.up, lift.down', 'The lines that raise and lower the pen, for G-code only.'],
      ['lift.up_time, lift.down_time', 'How long that takes.'],
      ['serial.baud, serial.flow, serial.buffer', 'How it is spoken to: its speed on the line, how it says that it can take more, and how many bytes it surely holds. Its manual says; Ask the machine helps.'],
      ['hpgl.unit', 'The length of one plotter unit, for HP-GL: 0.025mm as a rule.'],
      ['calibration.scale', 'Length drawn over length asked, across and along, measured on a long line.'],
    ],
    backing: [
      ['name', 'What the backing is called in lists: small letters, figures, hyphens.'],
      ['about', 'A sentence about it, for you.'],
      ['count', 'Channels (rows of holes) across and along, such as 12x13/in or 48x47/10cm. Count over as many as you can, on the stretched cloth.'],
      ['margin', 'What is left round the rug for the frame and the hem.'],
      ['max_speed', 'The fastest a pen may go on it without dragging it. Begin slowly.'],
      ['guide', 'How far its guide threads lie apart, where it has them.'],
      ['note', 'What is to be known when it is counted.'],
    ],
    pen: [
      ['name', 'What the pen is called in lists and programs: small letters, figures, hyphens.'],
      ['about', 'A sentence about it, for you.'],
      ['width', 'How wide a line it leaves on this cloth. Draw one on a scrap and measure it.'],
      ['colour', 'In the pictures, as # and six figures: #1a1a1a is a soft black.'],
      ['max_speed', 'The fastest it draws a line without breaks. Try it on a scrap.'],
      ['permanent', 'true where neither water nor steam moves it, false else.'],
      ['transfers', 'true for a pen whose line an iron turns over onto the cloth.'],
      ['blade, offset', 'true for a blade that trails, and how far its point trails behind the holder’s axis.'],
      ['force, passes', 'For a cutter: how hard it presses, in the steps of its maker, and how often it goes over each line.'],
      ['wipe_every', 'How far it draws until its point is wiped, where the machine has a place for that.'],
      ['run_in', 'How long a cut beside the drawing turns a blade before the first line; with 0 you turn it.'],
      ['cautions', 'Sentences that are shown before it is used.'],
    ],
  },
  remembered: 'Remembered on this computer', rememberedIn: (f) => `In the folder ${f}, as plain files.`, rememberedNone: 'Nothing is remembered yet.', forget: (n) => `Forget ${n}`, forgetLast: 'Forget what was chosen last',
  keysOn: 'Keys at the frame: H holds, L lifts, S stops',

  // 6
  count: 'Count', countHint: 'Channels (rows of holes) across and along, counted on the stretched cloth: 12x13/in, 48x47/10cm.',
  marksSay: 'Where the cloth is stretched out of true, steer the pen to four places and more, near the corners first, and mark each. The drawing is then fitted to the cloth.',
  take: 'Take the pen', leave: 'Leave the pen', penAt: (s) => `The pen is at ${s.at[0].toFixed(2)}, ${s.at[1].toFixed(2)} mm` + (s.place ? `, about channel ${s.place[0].toFixed(1)} across, ${s.place[1].toFixed(1)} along.` : '.'),
  stepOf: 'A step is', oneChannel: 'one channel', penLeft: 'Pen left', penRight: 'Pen right', penAway: 'Pen away', penNear: 'Pen near', next: 'Go where the next mark should be', across: 'Channel across', along: 'Channel along', markHere: 'Mark this place',
  takeOver: 'The machine moves when you take the pen: hands clear.',
  marksBrief: (j) => (j.report.registration ? `${j.report.registration.marks.length} marks, ${j.report.registration.max_mm.toFixed(2)} mm off at most` : `${j.settings.count}, no marks`),
  marks: 'Marks', marksNone: 'No marks: the cloth is taken to lie as it counts, square to the machine.', noMarks: 'Do without marks', removeMark: (n) => `Remove mark ${n}`,
  marksFile: 'Marks from a file', marksFileHint: 'A marks.toml, found earlier on this cloth.',
  markLine: (m) => `Mark ${m.number}: channel ${m.place[0]} across, ${m.place[1]} along, found at ${m.at[0].toFixed(2)}, ${m.at[1].toFixed(2)} mm`,
  residual: (m) => `${Math.hypot(...m.off).toFixed(2)} mm off the fit`,
  fit: (r) => `Fitted as ${r.model}: ${r.rms_mm.toFixed(2)} mm off on average, ${r.max_mm.toFixed(2)} mm at most.`,

  // 7
  play: 'Play', pause: 'Pause', timeline: 'Time', speed: 'Speed', times: (n) => (n === 1 ? 'as fast as life' : `${n} times as fast`),
  playing: (s) => `${s.pen}: ${s.down ? 'pen down, drawing' : 'pen up'}, ${s.speed.toFixed(0)} mm/s, ${s.time} of ${s.total}`, predicted: 'This is what the program’s own bytes say; times are predicted.',
  limits: 'Broken limits', noLimits: 'No limit of the machine is broken.', notYet: 'The program is still being written.',
  facts: (f) => `${t.lines(f.strokes)}, ${(f.draw_mm / 1000).toFixed(2)} m drawn at up to ${f.max_speed_mm_s.toFixed(0)} mm/s, ${(f.travel_mm / 1000).toFixed(2)} m with the pen up, about ${t.minutes(f.time_s)}.`,
  limitAt: (l) => l.message + (l.line ? ` (line ${l.line})` : ''), about: (time) => `about ${time}`, of: (a, b) => `${a} of ${b}`,
  ofProgram: (r) => `${r.file}, ${r.pen}: ${t.facts(r.facts)}`,
  minutes: (s) => (s < 90 ? `${Math.round(s)} s` : s < 3600 ? `${Math.round(s / 60)} min` : `${Math.floor(s / 3600)} h ${Math.round(s % 3600 / 60)} min`),

  // 8
  before: 'Before the machine moves', firstComes: 'The maker’s manual, local rules and qualified advice come first.',
  ticks: ['The cloth is clamped on its frame, and the frame on the table', 'Hands, hair, sleeves and loose yarn are clear', 'The power switch is within reach: it is the real stop', 'The pen was tried on a scrap of this cloth, and is in the holder'],
  tickHome: 'The machine was brought home since the job broke off',
  edge: 'Once round the edge', rehearse: 'Rehearse', draw: 'Draw', resume: 'Resume', hold: 'Hold', lift: 'Lift', goOn: 'Go on', stop: 'Stop',
  offered: 'With the pen up, as often as you like:', inkNow: 'With ink, once every line here is ticked:',
  half: (b) => `${b.drawn} of ${b.strokes} lines are proved to be on the cloth; ` + (b.known ? `${t.lines(b.again)} may be drawn again where it was left.` : 'the next one may have been begun, and is drawn again.'),
  overtaken: 'The cloth is half drawn by a program that would be made otherwise now; nothing in the folder was changed.',
  newCloth: 'Put a new cloth on', newClothHint: 'A line drawn twice blots. To draw this job from its beginning, put a new cloth on; the record of the old one is kept.',
  where: (p, m) => (p === 'sim' ? `On the port sim, the built-in simulated plotter as machine ${m}: nothing real moves.` : `On the port ${p}, machine ${m}.`),
  realStop: 'The power switch is the real stop. A stop in software is no emergency stop.',
  drawnOf: (n, all) => `${n} of ${all} lines drawn`, drawn: 'drawn', says: (word, text) => word + (text ? `: ${text}` : ''),
  atWork: 'The machine at work', steered: 'The pen is steered by hand', needsDrawing: 'Choose a drawing first.', tickAll: 'Tick every line above first.', sheetText: 'The page for the frame',
};
