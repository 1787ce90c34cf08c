package fault

import "fmt"

// Nearest returns the one of the known words that was most likely meant by a mistyped
// one, or "" where none is near: more than a third of its letters would be wrong. Of
// words that are equally near the first one is returned.
func Nearest(typed string, known []string) string {
	best, least := "", len([]rune(typed))/3+1
	for _, k := range known {
		if d := slips(typed, k); d < least {
			best, least = k, d
		}
	}
	return best
}

// Meant returns advice for a mistyped word: the nearest known one as a question, and
// then the rest of the advice. kind, such as "--" of a flag, stands before the word.
func Meant(kind, typed string, known []string, rest string) string {
	near := Nearest(typed, known)
	if near == "" {
		return rest
	}
	return fmt.Sprintf("did you mean %s%s? %s", kind, near, rest)
}

// slips returns how many letters were left out, added, mistaken or exchanged with
// their neighbour to get from a to b, each letter taking part once (the optimal
// string alignment distance: F. J. Damerau, Communications of the ACM 7(3), 1964,
// counts these four as the slips of typists).
func slips(a, b string) int {
	x, y := []rune(a), []rune(b)
	d := make([][]int, len(x)+1)
	for i := range d {
		d[i] = make([]int, len(y)+1)
		d[i][0] = i
	}
	for j := range d[0] {
		d[0][j] = j
	}
	for i := 1; i <= len(x); i++ {
		for j := 1; j <= len(y); j++ {
			wrong := 1
			if x[i-1] == y[j-1] {
				wrong = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+wrong)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(x)][len(y)]
}
