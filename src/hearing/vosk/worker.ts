// The order matters: `scope` must have changed the worker's globals before the engine's script runs, which `install` does.
import './scope.ts';
import './strict/install.ts';
