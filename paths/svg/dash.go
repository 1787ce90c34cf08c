package svg

func isDashed(text string) bool {
	return text != "none" && text != ""
}
