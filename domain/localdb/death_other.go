//go:build unix && !linux

package localdb

import "syscall"

// dieWithParent can promise nothing here: a server left over from a killed
// process is adopted by the next start.
func dieWithParent(*syscall.SysProcAttr) {}
