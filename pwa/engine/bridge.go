// Command engine is what the pages run of Fairday: the replica and the views,
// compiled to WebAssembly, as calls that take and return JSON. It does no I/O;
// the worker around it owns storage and the socket.
package main
