package main

import (
	"path/filepath"
	"strings"

	"weftplot/cmd/weftplot/terminal"
	"weftplot/paths/fault"
	"weftplot/plot/disk"
	"weftplot/plot/proof"
)

// canBePicture checks the name of a picture that is to be written, which may be
// empty, and its width in pixels, before any work is done for it.
func canBePicture(s terminal.Streams, out, input string, pixels int) error {
	if ext := strings.ToLower(filepath.Ext(out)); out != "" && ext != ".svg" && ext != ".png" {
		return fault.Bad("--out", "end the name in .svg or .png", "%q is no picture that can be made", out)
	}
	if pixels < 100 || pixels > 20000 {
		return fault.Bad("--pixels", "give a width from 100 to 20000", "a picture of %d pixels is not possible", pixels)
	}
	if out != "" && sameFile(s.Path(out), s.Path(input)) {
		return fault.Bad("--out", "give the picture another name", "the picture would overwrite %s", input)
	}
	return nil
}

// writePicture writes a scene as SVG, or as PNG of a width in pixels, whole or
// not at all.
func writePicture(s terminal.Streams, out string, scene proof.Scene, pixels int) error {
	var picture []byte
	var err error
	if strings.EqualFold(filepath.Ext(out), ".png") {
		picture, err = proof.PNG(scene, pixels)
	} else {
		picture, err = proof.SVG(scene)
	}
	if err != nil {
		return err
	}
	return disk.Write(s.Path(out), picture)
}
