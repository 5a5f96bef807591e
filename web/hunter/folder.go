package hunter

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"slices"
	"strings"
	"syscall"
)

// Folder is a directory whose content a static host serves. It may hold what others
// put there: only the files of its own list are changed or removed. The list may end
// up on the host too, so it tells no path: a path is a link, and a link is a secret.
// It holds the SHA-256 of each.
type Folder struct {
	root *os.Root
	lock *os.File
	ours map[string]bool // by hash of the path
}

// The names the folder keeps for itself.
const (
	listFile = ".coldrail-published"
	newFile  = ".coldrail-new"
	listHead = "# SHA-256 of the path of each file that coldrail publish wrote here."
)

// Kept is what became of the files.
type Kept struct {
	Written, Removed int
	Foreign          []string // somebody else's, left as they are
}

// OpenFolder opens the directory for one publisher alone, and makes it where there is
// none. Nothing outside of it can be reached, whatever links it holds.
func OpenFolder(dir string) (*Folder, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	f := &Folder{ours: map[string]bool{}}
	var err error
	if f.lock, err = os.Open(dir); err != nil {
		return nil, err
	}
	if err = syscall.Flock(int(f.lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.lock.Close()
		return nil, fmt.Errorf("something else publishes into %s already: %w", dir, err)
	}
	if f.root, err = os.OpenRoot(dir); err == nil {
		err = f.readList()
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

// Close lets others publish into it.
func (f *Folder) Close() error {
	if f.root != nil {
		f.root.Close()
	}
	return f.lock.Close()
}

func (f *Folder) readList() error {
	text, err := f.root.ReadFile(listFile)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	for line := range strings.Lines(string(text)) {
		if line = strings.TrimSpace(line); line == listHead || line == "" {
			continue
		}
		if raw, err := hex.DecodeString(line); err != nil || len(raw) != sha256.Size {
			return fmt.Errorf("%s cannot be read: it must be the list that coldrail publish wrote", listFile)
		}
		f.ours[line] = true
	}
	return nil
}

func (f *Folder) saveList() error {
	lines := append([]string{listHead}, slices.Sorted(maps.Keys(f.ours))...)
	_, err := f.put(listFile, []byte(strings.Join(lines, "\n")+"\n"), 0o600)
	return err
}

func hashed(name string) string {
	sum := sha256.Sum256([]byte(name))
	return hex.EncodeToString(sum[:])
}

// Hold makes the folder hold these files of ours and no other. Each path is on the
// list before its file is there and until it is gone, so that a publisher that is cut
// off leaves nothing that the next one would take for somebody else's.
func (f *Folder) Hold(files Files) (k Kept, err error) {
	files = maps.Clone(files)
	if k.Foreign, err = f.setAside(files); err != nil {
		return k, err
	}
	for name := range files {
		f.ours[hashed(name)] = true
	}
	if err := f.saveList(); err != nil {
		return k, err
	}
	gone := f.sweep(files, &k) // first: what was revoked goes even where the disk is full
	for _, name := range slices.Sorted(maps.Keys(files)) {
		fresh, err := f.put(name, files[name], 0o644)
		if err != nil {
			return k, errors.Join(gone, err)
		}
		if fresh {
			k.Written++
		}
	}
	if gone != nil {
		return k, gone
	}
	clear(f.ours)
	for name := range files {
		f.ours[hashed(name)] = true
	}
	return k, f.saveList()
}

// setAside takes out of the files each in whose place there is one of somebody else's.
func (f *Folder) setAside(files Files) (foreign []string, err error) {
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if f.ours[hashed(name)] {
			continue
		}
		_, err := f.root.Lstat(name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		delete(files, name)
		if dir, leaf := path.Split(name); dir != "s/" && strings.HasPrefix(dir, "s/") {
			name = "s/.../" + leaf // the rest is a link
		}
		foreign = append(foreign, name)
	}
	return foreign, nil
}

// sweep removes what the list knows and nobody wants any more.
func (f *Folder) sweep(wanted Files, k *Kept) error {
	for _, pattern := range []string{"s/*/index.html", "*.html", "s/index.html", "robots.txt", "static/css/*.css"} {
		found, err := fs.Glob(f.root.FS(), pattern)
		if err != nil {
			return err
		}
		for _, name := range found {
			if _, stays := wanted[name]; stays || !f.ours[hashed(name)] {
				continue
			}
			if err := f.root.Remove(name); err != nil {
				return err
			}
			k.Removed++
			if dir := path.Dir(name); dir != "." {
				_ = f.root.Remove(dir) // stays where it holds something else
			}
		}
	}
	return nil
}

// put writes a file unless it is there with this content, and says whether it did.
func (f *Folder) put(name string, content []byte, mode fs.FileMode) (fresh bool, err error) {
	old, err := f.root.ReadFile(name)
	if err == nil && bytes.Equal(old, content) {
		return false, nil
	}
	return true, f.write(name, content, mode)
}

// write puts a file in its place at once: whoever asks meanwhile gets the old one
// whole or the new one whole.
func (f *Folder) write(name string, content []byte, mode fs.FileMode) error {
	if err := f.root.MkdirAll(path.Dir(name), 0o755); err != nil {
		return err
	}
	_ = f.root.Remove(newFile) // of a publisher that was cut off
	to, err := f.root.OpenFile(newFile, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = to.Write(content)
	if err == nil {
		err = to.Sync()
	}
	if err = errors.Join(err, to.Close()); err != nil {
		return err
	}
	return f.root.Rename(newFile, name)
}
