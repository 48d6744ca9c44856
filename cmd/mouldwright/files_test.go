package main

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/png"
	"os"
	"path/filepath"
)

// hostile puts files into a session's folder that a script cannot hold: each claims
// more than it has.
func hostile(dir string) error {
	var whole bytes.Buffer
	if err := png.Encode(&whole, image.NewGray(image.Rect(0, 0, 64, 64))); err != nil {
		return err
	}
	stl := make([]byte, 84+50)
	binary.LittleEndian.PutUint32(stl[80:], 4_000_000_000)
	for name, data := range map[string][]byte{
		"lying.png":     hugePNG(),
		"truncated.png": whole.Bytes()[:whole.Len()/2],
		"lying.stl":     stl,
	} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// hugePNG is the head of a PNG of 31,623 x 31,623, 10^9 pixels.
func hugePNG() []byte {
	head := []byte("\x89PNG\r\n\x1a\n")
	ihdr := []byte("IHDR\x00\x00\x7b\x87\x00\x00\x7b\x87\x08\x00\x00\x00\x00")
	head = binary.BigEndian.AppendUint32(head, 13)
	head = append(head, ihdr...)
	return binary.BigEndian.AppendUint32(head, crc32.ChecksumIEEE(ihdr))
}
