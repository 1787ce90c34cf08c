package manual

// examples are lines that can be typed, by command. The tests hold
// their flags to those of the commands.
var examples = map[string][]Example{
	"demo": {{"weftplot demo", "the lighthouse mat, drawn by the simulated plotter into the folder demo-job"}},
	"check": {{"weftplot check mat.svg --width 18in --out places.svg",
		"what mat.svg holds, and what is too fine at 18 in, numbered in a picture"}},
	"prepare": {
		{"weftplot prepare mat.svg --width 24in --border 4,2 --machine gantry-servo",
			"a folder mat-job: a line at the edge, one after 4 empty rows, one after 2 more"},
		{"weftplot prepare mat.svg --transfer tracing --print a4 --machine none",
			"no plotter: full-size sheets in mat-job/paper.pdf"},
	},
	"preview": {{"weftplot preview mat-job --out dry.svg", "what the job's program draws, as the machine would run it"}},
	"send": {
		{"weftplot send mat-job --port sim", "how it comes out on the simulated plotter"},
		{"weftplot send mat-job --port /dev/ttyUSB0 --rehearse", "the whole job with the pen up; on Windows the port is COM3 or so"},
	},
	"register": {
		{"weftplot register --port /dev/ttyUSB0 --machine bench.toml --out marks.toml", "steer the pen to marks on the stretched cloth"},
		{"weftplot register --check marks.toml", "how the cloth lies, and how far lines may be off"},
	},
	"scan":   {{"weftplot scan drawing.jpg --paper a4 --out mat.svg --proof found.png", "the photo of a sheet of A4 to line work, with a picture to compare"}},
	"letter": {{`weftplot letter "HARBOUR 1924" --height 9rows --out name.svg`, "words whose stems lie in channels"}},
	"ports":  {{"weftplot ports", "which port the plotter is on"}},
	"profiles": {
		{"weftplot profiles show gantry-z > bench.toml", "a file of your own to correct by the maker's manual"},
		{"weftplot profiles use bench.toml", "the machine of this computer, until another one is said"},
	},
	"bench":      {{"weftplot bench mat.svg", "the whole job as a page in the browser"}},
	"help":       {{"weftplot help prepare all", "every flag of prepare, in groups"}},
	"completion": {{"weftplot completion bash > ~/.local/share/bash-completion/completions/weftplot", "Tab completes commands, flags and names from the next shell on"}},
	"man":        {{"weftplot man | man -l -", "read the manual (Linux)"}},
}
