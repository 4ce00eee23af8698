import { type ChildProcess, spawn } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readFileSync, symlinkSync, watch } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import { processTerminal } from '../../src/cli/terminal.ts';
import { CLI, filesIn, HOME, makeRoom, makeScene } from './scene.ts';

// Goal: what only a process of its own shows: signals, pipes, colours, the start. Method: the built program as a child;
// every wait is for a word, a file or an end.

const children: ChildProcess[] = [];
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
});

type Ended = { status: number | null; signal: string | null; out: string; err: string };
class Program {
  readonly child: ChildProcess;
  readonly ended: Promise<Ended>;
  out = '';
  err = '';
  readonly #waiting = new Set<() => void>();

  constructor(file: string, args: readonly string[], cwd: string, env: Record<string, string> = {}) {
    this.child = spawn(process.execPath, [file, ...args], { cwd, env: { ...process.env, ...env } });
    children.push(this.child);
    this.child.stdout!.on('data', (piece) => this.#hear('out', String(piece)));
    this.child.stderr!.on('data', (piece) => this.#hear('err', String(piece)));
    this.ended = new Promise((done) =>
      this.child.on('close', (status, signal) => done({ status, signal, out: this.out, err: this.err })),
    );
  }

  #hear(what: 'out' | 'err', piece: string): void {
    this[what] += piece;
    for (const look of this.#waiting) look();
  }

  /** Waits for words on standard output. */
  says(words: RegExp): Promise<RegExpExecArray> {
    return new Promise((done, fail) => {
      const look = () => {
        const found = words.exec(this.out);
        if (!found) return;
        this.#waiting.delete(look);
        done(found);
      };
      this.#waiting.add(look);
      void this.ended.then(({ err }) => fail(new Error(`it ended before it said ${words}: ${err}`)));
      look();
    });
  }
}

/** Waits until so many files lie in a folder. */
function filesThere(folder: string, count: number): Promise<void> {
  mkdirSync(folder, { recursive: true });
  return new Promise((done) => {
    const watcher = watch(folder, look);
    function look() {
      if (filesIn(folder).filter((name) => !name.endsWith('.part')).length < count) return;
      watcher.close();
      done();
    }
    look();
  });
}

const PLAN = ['plan', 'campaign.yaml', '--draws', '16', '--json'];

describe('a plan', () => {
  /** What comes out where nothing disturbs: the same for every room. */
  let whole: string;
  beforeAll(async () => {
    whole = (await new Program(CLI, PLAN, makeScene()).ended).out;
    expect(JSON.parse(whole)).toMatchObject({ state: 'done' });
  });

  it('goes to a pipe without colour, progress or any sign that steers a terminal', async () => {
    const { status, out, err } = await new Program(CLI, PLAN.slice(0, 4), makeScene()).ended;
    expect(status).toBeLessThan(2);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the signs
    expect(out + err).not.toMatch(/[\u001b\r\b]/);
    expect(err).toMatch(/^(bonedry: the wanted chances are not reached\.\n)?$/);
  });

  it.each([
    ['SIGINT', 1],
    ['SIGINT', 2],
    ['SIGINT', 4],
    ['SIGTERM', 2],
  ] as const)(
    'told to stop by %s after %i results ends with 130 and leaves nothing half',
    async (signal, count) => {
      const room = makeScene();
      const program = new Program(CLI, PLAN, room);
      await filesThere(join(room, 'home/cache'), count);
      program.child.kill(signal);
      expect(await program.ended).toEqual({ status: 130, signal: null, out: '', err: 'bonedry: Stopped.\n' });
      const left = filesIn(join(room, 'home'));
      expect(left.filter((name) => !/^cache\/[0-9a-f]{64}$/.test(name))).toEqual([]);
      const again = await new Program(CLI, PLAN, room).ended;
      expect(again.out).toBe(whole);
    },
  );

  it('killed in the middle leaves results that are sound', async () => {
    const room = makeScene();
    const program = new Program(CLI, PLAN, room);
    await filesThere(join(room, 'home/cache'), 2);
    program.child.kill('SIGKILL');
    await program.ended;
    expect((await new Program(CLI, PLAN, room).ended).out).toBe(whole);
  });

  it('whose reader goes away ends without a word about it', async () => {
    const program = new Program(CLI, ['cards'], makeRoom());
    program.child.stdout!.destroy();
    const { status, err } = await program.ended;
    expect({ status, err }).toEqual({ status: 0, err: '' });
  });
});

describe('a kernel', () => {
  it('that computes long is ended by Ctrl-C at once', async () => {
    const checks = JSON.parse(readFileSync(join(HOME, 'tests/checks/moisture.json'), 'utf8')) as {
      kernel: string;
      inputs: object;
    }[];
    const { inputs } = checks.find(({ kernel }) => kernel === 'moisture.ensemble')!;
    const room = makeRoom();
    const program = new Program(CLI, ['compute', 'moisture.ensemble'], room);
    program.child.stdin!.end(JSON.stringify(inputs));
    await new Promise((done) => program.child.stdin!.on('finish', done));
    const told = performance.now();
    program.child.kill('SIGINT');
    const { status, signal, out } = await program.ended;
    expect({ status, signal, out }).toEqual({ status: null, signal: 'SIGINT', out: '' });
    expect(performance.now() - told).toBeLessThan(1000);
  });

  it('takes its inputs from a pipe', async () => {
    const program = new Program(CLI, ['compute', 'air.saturation'], makeRoom());
    program.child.stdin!.end('{"T_C": 25}');
    const { status, out } = await program.ended;
    expect(status).toBe(0);
    expect(JSON.parse(out)).toHaveProperty('p_Pa');
  });
});

describe('a terminal', () => {
  const isTTY = Object.getOwnPropertyDescriptor(process.stdout, 'isTTY');
  const before = process.env['NO_COLOR'];
  afterEach(() => {
    if (isTTY) Object.defineProperty(process.stdout, 'isTTY', isTTY);
    else Reflect.deleteProperty(process.stdout, 'isTTY');
    if (before === undefined) delete process.env['NO_COLOR'];
    else process.env['NO_COLOR'] = before;
  });

  it.each([
    [true, undefined, '\u001b[1mweakest\u001b[0m'],
    [true, '', '\u001b[1mweakest\u001b[0m'],
    [true, '1', 'weakest'],
    [false, undefined, 'weakest'],
  ])('that is one: %s, with NO_COLOR %j, shows a word in bold as %j', (isOne, noColor, shown) => {
    Object.defineProperty(process.stdout, 'isTTY', { value: isOne, configurable: true });
    if (noColor === undefined) delete process.env['NO_COLOR'];
    else process.env['NO_COLOR'] = noColor;
    expect(processTerminal().bold('weakest')).toBe(shown);
  });
});

describe('npm start', () => {
  /** A checkout as after its first build: no example print is made yet. */
  function checkout(): string {
    const room = makeRoom();
    for (const name of ['dist', 'cards', 'package.json', 'examples/sensor-bracket.yaml'])
      cpSync(join(HOME, name), join(room, name), { recursive: true });
    symlinkSync(join(HOME, 'node_modules'), join(room, 'node_modules'));
    return room;
  }
  const start = (room: string, env = {}) =>
    new Program(join(room, 'dist/server/main.js'), ['--example'], room, { PORT: '0', ...env });

  it('prints its address first, answers while the prints are made, shows the chain, serves on, ends by Ctrl-C', async () => {
    const room = checkout();
    const program = start(room);
    const [, address] = await program.says(/^Bonedry is at (http:\/\/127\.0\.0\.1:\d+\/)\n/);
    const campaigns = await fetch(`${address}api/campaigns`);
    expect((await campaigns.json()) as object[]).toMatchObject([{ invented: true, plates: 4 }]);
    expect(program.out).not.toContain('The example campaign');
    expect(existsSync(join(room, 'examples/prints/.made.json'))).toBe(false);

    await program.says(/The same in the app/);
    expect(program.out).toMatch(
      /The example campaign, invented:\n\nAs planned, \d+ runs in 20 come off the machine/,
    );
    expect(filesIn(join(room, 'examples/prints'))).toHaveLength(5);
    // What was computed for the terminal is there for the app: no page has asked for a plan yet.
    const inputs = await fetch(`${address}api/campaigns/sensor-bracket-invented-example/inputs`);
    expect(inputs.status).toBe(200);

    program.child.kill('SIGINT');
    const { status } = await program.ended;
    expect(status).toBe(0);
    await expect(fetch(address!)).rejects.toThrow();
    // Prints made and the whole chain cold: 96 s where eight others share each core.
  });

  it('stopped while the prints are made ends with 130 and leaves no half print', async () => {
    const room = checkout();
    const program = start(room);
    await filesThere(join(room, 'examples/prints'), 2);
    program.child.kill('SIGINT');
    expect((await program.ended).status).toBe(130);
    expect(filesIn(join(room, 'examples/prints')).filter((name) => name.endsWith('.part'))).toEqual([]);
  });

  it('with a port that is none is refused in a sentence', async () => {
    const { status, out, err } = await start(HOME, { PORT: 'many' }).ended;
    expect({ status, out, err }).toEqual({
      status: 2,
      out: '',
      err: 'bonedry: PORT "many" does not fit. Expected a whole number from 0 to 65535.\n',
    });
  });
});
