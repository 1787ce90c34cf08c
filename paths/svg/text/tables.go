package text

import (
	"encoding/binary"
	"errors"
)

// maxTable bounds a table of a packed font after unpacking, in bytes; the largest
// fonts in use have outlines of about 30 MB.
const maxTable = 64 << 20

var errTables = errors.New("its directory names tables that lie outside the file")

// checkTables holds the directory of a font against the length of the file: the font
// library makes room for as many bytes as a table is said to have, up to 4 GB, before
// it reads them (OpenType 1.9, Table Directory; WOFF 1.0, 5 Table directory). Data
// that is no font is left to the library.
func checkTables(data []byte) error {
	head, record, at := 12, 16, 8 // the header, one record, and where its offset and length are
	packed := len(data) >= 44 && string(data[:4]) == "wOFF"
	count := 4
	if packed {
		head, record, at, count = 44, 20, 4, 12
	}
	if len(data) < head {
		return nil
	}
	for i := range int(binary.BigEndian.Uint16(data[count:])) {
		from := head + i*record
		if from+record > len(data) {
			return errTables
		}
		offset, length := binary.BigEndian.Uint32(data[from+at:]), binary.BigEndian.Uint32(data[from+at+4:])
		if uint64(offset)+uint64(length) > uint64(len(data)) {
			return errTables
		}
		if packed && binary.BigEndian.Uint32(data[from+at+8:]) > maxTable {
			return errTables
		}
	}
	return nil
}
