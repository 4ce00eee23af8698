import { useSignal } from '@preact/signals';
import { parseField } from '../../units.ts';
import { Bend as BendPicture, thingIn } from '../charts/bend.tsx';
import { Button } from '../parts.tsx';
import {
  asTightAs,
  type Bend,
  degrees,
  type Thing,
  type Tube,
  withLength,
  withRadius,
  withTurn,
} from '../way.ts';

const TURNS = [30, 45, 60, 90, 120, 180] as const;

/** How tight a bend is, held against things; a measured radius instead; how far it turns. */
export function BendEditor(props: {
  bend: Bend;
  id: string;
  things: readonly Thing[];
  onChange: (bend: Bend) => void;
}) {
  const { bend, id, things, onChange } = props;
  const turns = [...new Set([...TURNS, degrees(bend)])].sort((a, b) => a - b);
  const isLike = ({ radius }: Thing) => Math.abs(1000 * bend.radius - Number.parseFloat(radius)) < 0.05;
  return (
    <>
      <fieldset class="field">
        <legend class="label">How tight is it? Hold a coin, a cup and a plate against it.</legend>
        <div class="choices drawings">
          {things.map((thing) => {
            const drawn = thingIn(thing.label);
            return (
              <label class="choice drawn" key={thing.label}>
                {drawn && <BendPicture thing={drawn} />}
                <span>
                  <input
                    type="radio"
                    name={id}
                    checked={isLike(thing)}
                    onChange={() => onChange(asTightAs(bend, thing))}
                  />
                  {thing.label}
                </span>
              </label>
            );
          })}
        </div>
      </fieldset>
      <div class="levers">
        <Measured
          id={`${id}-radius`}
          label="Or its radius measured, mm"
          value={Number((1000 * bend.radius).toPrecision(3))}
          hint="along the middle of the tube"
          least={1}
          most={2000}
          onChange={(mm) => onChange(withRadius(bend, mm))}
        />
        <div class="field">
          <label for={`${id}-turn`}>Turns by</label>
          <select
            id={`${id}-turn`}
            value={String(degrees(bend))}
            onChange={(event) => onChange(withTurn(bend, Number(event.currentTarget.value)))}
          >
            {turns.map((turn) => (
              <option key={turn} value={String(turn)}>
                {turn}°{turn === 90 ? ', a quarter turn' : turn === 180 ? ', back the way it came' : ''}
              </option>
            ))}
          </select>
        </div>
      </div>
    </>
  );
}

/** How long a tube is, and a bend put into it. */
export function TubeEditor(props: {
  tube: Tube;
  onChange: (tube: Tube) => void;
  onAdd: (half: boolean) => void;
  onRemove: (() => void) | null;
}) {
  const { tube, onChange, onAdd, onRemove } = props;
  return (
    <>
      <div class="levers">
        <Measured
          id="tube-length"
          label="Length, m"
          value={Number(tube.length.toPrecision(3))}
          hint="with a tape along the tube"
          least={0.01}
          most={20}
          onChange={(metres) => onChange(withLength(metres))}
        />
      </div>
      <div class="buttons">
        <Button onPress={() => onAdd(true)}>Add a bend half way</Button>
        <Button onPress={() => onAdd(false)}>Add a bend at its end</Button>
        {onRemove && <Button onPress={onRemove}>Remove this tube</Button>}
      </div>
    </>
  );
}

/** A number in the unit of its label; what is out of reason is said under it and changes nothing. */
function Measured(props: {
  id: string;
  label: string;
  value: number;
  hint: string;
  least: number;
  most: number;
  onChange: (value: number) => void;
}) {
  const { id, label, value, hint, least, most, onChange } = props;
  const typed = useSignal<string | null>(null);
  const wrong = useSignal<string | null>(null);
  const unit = /, (\S+)$/.exec(label)![1]!;
  const change = (text: string) => {
    const number = parseField(text.replace(new RegExp(`\\s*${unit}$`), ''));
    typed.value = text;
    wrong.value =
      number === null
        ? `"${text}" is not a number. Expected ${unit}, such as ${value}.`
        : number < least || number > most
          ? `${text} ${unit} is not a way that strand takes. Expected ${least} to ${most} ${unit}.`
          : null;
    if (number === null || wrong.value !== null) return;
    typed.value = null;
    if (number !== value) onChange(number);
  };
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        type="text"
        inputMode="decimal"
        autocomplete="off"
        value={typed.value ?? String(value)}
        aria-invalid={wrong.value !== null}
        aria-describedby={wrong.value === null ? `${id}-hint` : `${id}-wrong ${id}-hint`}
        onInput={(event) => {
          typed.value = event.currentTarget.value;
        }}
        onChange={(event) => change(event.currentTarget.value)}
      />
      {wrong.value !== null && (
        <p class="wrong" id={`${id}-wrong`} role="alert">
          {wrong.value}
        </p>
      )}
      <p class="hint" id={`${id}-hint`}>
        {hint}
      </p>
    </div>
  );
}
