// The order matters: `engine-scope` must have changed the worker's globals before the engine's script runs, which `install` does.
import './engine-scope.ts';
import '../strict/install.ts';
