package job

// Craft is how the rug is worked, which says from which side.
type Craft string

const (
	PunchNeedle Craft = "punch-needle" // worked from the back
	Hooking     Craft = "hooking"      // worked from the front
)

// Transfer is how the drawing gets onto the backing.
type Transfer string

const (
	Direct  Transfer = "direct"  // drawn straight on the backing
	Tracing Transfer = "tracing" // a paper to trace through the backing
	IronOn  Transfer = "iron-on" // a paper that the iron turns over
)

// Mirrored reports whether what is drawn is the mirror image of the finished
// rug: when it is worked from the back, unless the transfer turns it over.
func Mirrored(c Craft, t Transfer) bool { return (c == PunchNeedle) != (t == IronOn) }

// Side says in words which side a proof shows, and what a person sees there.
type Side struct {
	Title string // short: "back of the rug, mirrored"
	Words string // completes "You look at ..."; no full stop
}

// DrawnSide describes the face the pen draws on.
func DrawnSide(c Craft, t Transfer) Side {
	punched := c == PunchNeedle
	switch {
	case t == Tracing && punched:
		return Side{"paper to trace, mirrored", "the paper as it lies under the backing, to be traced onto the back of the rug. It is mirrored: words read backwards here and come right on the front"}
	case t == Tracing:
		return Side{"paper to trace, not mirrored", "the paper as it lies under the backing, to be traced onto the front of the rug. It is not mirrored: words read right"}
	case t == IronOn && punched:
		return Side{"paper to iron on, not mirrored", "the paper as it is drawn. The iron turns it over onto the back of the rug, so it is not mirrored here: words read right, backwards on the backing, and right again on the front"}
	case t == IronOn:
		return Side{"paper to iron on, mirrored", "the paper as it is drawn. The iron turns it over onto the front of the rug, so it is mirrored: words read backwards here and right on the backing"}
	case punched:
		return Side{"back of the rug, mirrored", "the back of the rug, the side it is punched from. It is mirrored: words read backwards here and come right on the front"}
	}
	return Side{"front of the rug, not mirrored", "the front of the rug, the side it is hooked from. It is not mirrored: words read right"}
}

// RugSide describes the finished rug from its front.
func RugSide() Side {
	return Side{"front of the finished rug", "the front of the finished rug. Words read right"}
}
