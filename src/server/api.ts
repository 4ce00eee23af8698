/**
 * All that the page may name of the server: types alone. Addresses:
 *
 *   GET    /api/campaigns                    CampaignSummary[]; the first is open when the app starts
 *   POST   /api/campaigns                    { files: string[], answers: Answers } -> 201 CampaignSummary
 *   POST   /api/campaigns/:id/plan           PlanRequest -> 202 JobCreated; the job's result is a ChainView
 *   PATCH  /api/campaigns/:id                { changes } -> CampaignSummary; the file keeps its comments ("Keep")
 *   GET    /api/campaigns/:id/inputs         InputsView, from the newest plan
 *   GET    /api/campaigns/:id/prints         PrintView[] of its plates that have a file
 *   POST   /api/campaigns/:id/bars           -> 202 JobCreated; the job's result is a BarsView
 *   PUT    /api/campaigns/:id/bars/:bar      { leftOut: { reason, note } | null }
 *   GET    /api/campaigns/:id/report.html    the printable report
 *   GET    /api/campaigns/:id/report.csv     its data
 *   GET    /api/campaigns/:id/report.json    its data, whole
 *   PUT    /api/curves/:id/:name             raw curves -> 202 JobCreated; the result is a Brought, nothing is kept
 *   POST   /api/curves/:id/:name             CurvesSaid -> 202 JobCreated; the same file as the person has it
 *   PUT    /api/curves/:id/:name/kept        the person says yes: kept beside the campaign, layout remembered
 *   DELETE /api/curves/:id/:name             forgotten
 *   PUT    /api/files/:name                  raw G-code -> 202 JobCreated; the job's result is a PrintView
 *   GET    /api/questions?files=a,b          QuestionView[], bars pre-filled from the files read
 *   GET    /api/jobs/:id                     JobState
 *   GET    /api/jobs/:id/events              server-sent JobState, named "state", each time something changed
 *   DELETE /api/jobs/:id                     stops it; a chain stopped half way keeps what it has
 *
 * A refused request is { error: { code, message, where, expected } }, or { errors: [...] } where there are several.
 */

export type {
  BarsView,
  BarView,
  CovariateView,
  CurveFileView,
  CurvesChart,
  EveryBar,
  GroupRow,
  PlateView,
  ReadingView,
  SeriesView,
} from '../report/results-views.ts';
export type {
  CampaignSummary,
  ChainView,
  CheckView,
  DryDepth,
  FeedDepth,
  FeedPicture,
  InputsView,
  InputView,
  LinkView,
  PrintView,
  ProblemView,
  QuestionView,
  RunsView,
  StayDryDepth,
  StayDryPicture,
  Strip,
  WayView,
} from '../report/views.ts';

import type { BarsView, ReadingView } from '../report/results-views.ts';
import type { ChainView, PrintView, ProblemView } from '../report/views.ts';

export type Change = { path: string; value: string };

/** Changes to try on the campaign as it stands, which is drawn beside them. */
export type PlanRequest = { changes?: Change[]; draws?: number; seed?: number };

export type JobCreated = { job: string };

export type JobState = {
  job: string;
  kind: 'plan' | 'read' | 'bars' | 'curves';
  state: 'running' | 'done' | 'stopped' | 'failed';
  /** Share done, 0..1, and what is being done in words. */
  share: number;
  doing: string;
  /** A plan job: the chain as it comes. */
  chain: ChainView | null;
  /** A read job: the print once it is read. */
  print: PrintView | null;
  /** A job on bars: what was found, at first without the water at the prints. */
  bars: BarsView | null;
  /** A job on a file of curves: what it is taken for. */
  brought: Brought | null;
  problems: ProblemView[];
};

/** Field id -> text; a field that is missing or `unknown` was answered with "I do not know". */
export type Answers = Record<string, string>;

/** A file of curves before anything of it is kept, and the bars that a name in it may mean. */
export type Brought = { reading: ReadingView; campaignBars: string[] };

/** What a person says of a file of curves: columns from 1, decimal sign, name in the file -> bar. */
export type CurvesSaid = {
  columns: { column: number; role: string; unit: string | null }[];
  decimal: '.' | ',' | null;
  called: Record<string, string>;
};
