import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';

const HOME = join(import.meta.dirname, '../..');

export type Served = Readonly<{ address: string; end(): void }>;

/**
 * The built server on a free port, working in a folder.
 * @param more what stands behind `serve`
 * @throws where it ends before it says its address
 */
export async function served(folder: string, home: string, more: readonly string[] = []): Promise<Served> {
  const server: ChildProcess = spawn(
    process.execPath,
    [join(HOME, 'dist/server/cli.js'), 'serve', '--port', '0', ...more],
    { cwd: folder, env: { ...process.env, BONEDRY_HOME: home }, stdio: ['ignore', 'pipe', 'inherit'] },
  );
  const address = await new Promise<string>((found, lost) => {
    let said = '';
    server.stdout!.on('data', (piece) => {
      said += String(piece);
      const match = /http:\/\/\S+/.exec(said);
      if (match) found(match[0]);
    });
    server.on('exit', (status) => lost(new Error(`the server ended with ${status}: ${said}`)));
  });
  return {
    address,
    end() {
      server.removeAllListeners('exit');
      server.kill();
    },
  };
}
