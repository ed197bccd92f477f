package localdb

import "syscall"

// dieWithParent has the kernel ask the server for a fast shutdown when the
// thread that started it ends, and so when this process dies in any way.
func dieWithParent(attr *syscall.SysProcAttr) { attr.Pdeathsig = syscall.SIGINT }
