package workshop

import (
	"bytes"
	"io"
	"io/fs"
	"sync"
	"time"
)

// stamp tells a file's contents apart without reading them.
type stamp struct {
	size     int64
	modified time.Time
}

func stampOf(info fs.FileInfo) stamp { return stamp{info.Size(), info.ModTime()} }

// artCache is the job's folder, with the files that the job names kept in memory
// until they change, so that an edit of a number reads no art.
type artCache struct {
	files fs.FS
	mu    sync.Mutex
	kept  map[string]keptFile
}

type keptFile struct {
	info fs.FileInfo
	data []byte
}

func newArtCache(files fs.FS) *artCache { return &artCache{files: files, kept: map[string]keptFile{}} }

// Open opens a file from memory, after a look at the disk whether it is still that.
func (a *artCache) Open(name string) (fs.File, error) {
	f, err := a.files.Open(name)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		return f, nil // the reader finds out
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if k, ok := a.kept[name]; ok && stampOf(k.info) == stampOf(info) {
		f.Close()
		return &memoryFile{k, *bytes.NewReader(k.data)}, nil
	}
	return &firstRead{File: f, cache: a, name: name, info: info}, nil
}

// changed reports whether a kept file is no longer what lies on the disk.
func (a *artCache) changed() bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	for name, k := range a.kept {
		info, err := fs.Stat(a.files, name)
		if err != nil || stampOf(info) != stampOf(k.info) {
			return true
		}
	}
	return false
}

// forget drops everything that is no longer what lies on the disk.
func (a *artCache) forget() {
	a.mu.Lock()
	defer a.mu.Unlock()
	for name, k := range a.kept {
		info, err := fs.Stat(a.files, name)
		if err != nil || stampOf(info) != stampOf(k.info) {
			delete(a.kept, name)
		}
	}
}

type memoryFile struct {
	keptFile
	r bytes.Reader
}

func (m *memoryFile) Stat() (fs.FileInfo, error) { return m.info, nil }
func (m *memoryFile) Read(b []byte) (int, error) { return m.r.Read(b) }
func (m *memoryFile) Close() error               { return nil }

// Bytes is the whole file, not to be changed.
func (m *memoryFile) Bytes() []byte { return m.data }

// firstRead is a file that is read for the first time. Whoever reads all of it leaves
// it in the cache.
type firstRead struct {
	fs.File
	cache *artCache
	name  string
	info  fs.FileInfo
	data  []byte
}

func (f *firstRead) Read(b []byte) (int, error) {
	n, err := f.File.Read(b)
	f.data = append(f.data, b[:n]...)
	if int64(len(f.data)) == f.info.Size() || err == io.EOF {
		f.cache.mu.Lock()
		f.cache.kept[f.name] = keptFile{f.info, f.data}
		f.cache.mu.Unlock()
	}
	return n, err
}
