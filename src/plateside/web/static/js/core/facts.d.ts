// What the server sends, as scripts/page_types.py takes it from the dataclasses that are sent. Not written by hand.

/** One shot's set-up, in words and drawings. */
export interface CardShown {
  camera: string;
  lens: string;
  distance: string;
  height: string;
  aperture: string;
  shutter: string;
  iso: string;
  support: string;
  on_set: string[];
  facts: Row[];
  side: string;
  top: string;
  not_as_asked: string[];
  unmet: Unmet[];
  minds: string[];
  known: string[];
  crops: string[];
  ways_out: string[];
  cautions: string[];
  picture_key: string;
  wide: number;
  high: number;
}

/** What lies where she touched the frame. */
export interface CardTouched {
  box: [number, number, number, number];
  grey: boolean;
  why_not: string;
  off_stops: number;
  cast_mired: number;
  tint_stops: number;
}

/** One change of the set, against the set as it is. */
export interface ChangeShown {
  kind: string;
  name: string;
  gain: string;
  gain_stops: number;
  lux: string;
  fill: string;
  fill_stops: number;
}

/** What came, went or moved since the layer before, or since the reference. */
export interface Changed {
  frame: string;
  since: string;
  since_words: string;
  marks: SaidMark[];
}

/** The changes at a moment; empty when it is too dark. */
export interface ChangesShown {
  at: string;
  clock: string;
  changes: ChangeShown[];
}

/** A place where pictures go. */
export interface ChannelShown {
  name: string;
  width_px: number;
  height_px: number;
  text_space: string;
  on_page: boolean;
}

/** One shot. */
export interface ChoiceShown {
  shot: string;
  select: PickShown | null;
  alternate: PickShown | null;
  remark: string;
}

/** From one minute to another, after the local midnight of the day, with both in words. */
export interface ClockSpan {
  start_min: number;
  end_min: number;
  words: string;
}

/** What others may do. */
export interface CreatorShown {
  licence_url: string;
  usage_terms: string;
}

/** A crop: its place as shares of the picture, what it gives, what it lacks. */
export interface CropShown {
  box: number[];
  width_px: number;
  height_px: number;
  whole: boolean;
  remarks: Said[];
}

/** Where the dish is in a picture, and the planned crop of every channel. */
export interface CropsShown {
  shot: string;
  dish: number[];
  dish_by_you: boolean;
  channels: Record<string, CropShown>;
}

/** The day, and which of its planned pictures are rendered: their words by quality, by the picture's key. */
export interface DayAnswer {
  day: PlannedDay;
  drawn: Record<string, Record<string, string>>;
}

/** One day. Arrays run over `seconds`; light is to five figures, to point by: it is said with two. */
export interface DayShown {
  answer: string;
  lead: string;
  day: string;
  day_words: string;
  place: string;
  spot: string;
  sky: string;
  needs: string;
  seconds: number[];
  clocks: string[];
  iso: string[];
  lux: number[];
  low: number[];
  high: number[];
  now: string[];
  states: string[];
  good: Span[];
  usable: Span[];
  sun: Span[];
  first: number;
  last: number;
  best: number;
  curve: string;
  never_up: boolean;
  sentences: string[];
  caution: string;
}

/** The page. */
export interface DeliverShown {
  row: number;
  version: string;
  landed: number;
  ready: boolean;
  changed: string[];
  licensed: boolean;
  headline: string;
  withheld: PointShown[];
  open: PointShown[];
  nothing_left: string;
  no_shots: string;
  dish_words: Record<string, string>;
  hints: Record<string, string>;
  greyed_out: Record<string, string>;
  before_packing: string[];
  pack_mind: string;
  recipe: RecipeShown;
  creator: CreatorShown;
  channels: ChannelShown[];
  shots: ShotDelivered[];
  delivery: DeliveryShown | null;
  packages: string[];
  aim_characters: number;
  most_characters: number;
}

/** What was delivered. */
export interface DeliveryShown {
  pictures: FileDelivered[];
  documents: DocumentDelivered[];
}

/** A page or a list of the delivery. */
export interface DocumentDelivered {
  file: string;
  bytes: number;
}

/** A picture of the delivery. */
export interface FileDelivered {
  file: string;
  shot: string;
  channel: string;
  kind: string;
  width_px: number;
  height_px: number;
  bytes: number;
}

/** One thing found: a check, a shadow, a mirror image. */
export interface Finding {
  kind: string;
  ok: boolean;
  code: string;
  about: string;
  of: string;
  got: number | null;
  asked: number | null;
  unit: string;
  parts: [string, number][];
  clears_deg: number | null;
  fills_deg: number | null;
  ways: Way[];
  lacks: Lack[];
  unmet: Unmet | null;
}

/** The series. */
export interface FinishShown {
  row: number;
  match_to: string;
  kind: string;
  shots: ShotFinished[];
  headline: string;
  greyed_out: string;
  look_off: string;
  like_it: string;
}

/** One moment. */
export interface HourShown {
  at: string;
  clock: string;
  dark: boolean;
  facts: Row[];
  sun_on_dish: boolean;
  sun_up: boolean;
  lux: number;
  plan: string;
}

/** A block of the lanes and what it means. */
export interface KeySign {
  svg: string;
  words: string;
}

/** Something that does not fit. */
export interface Lack {
  code: string;
  short_m: number;
  what: string;
  about: string;
}

/** The frame that the screen speaks of. */
export interface LastFrame {
  id: string;
  name: string;
  shot: string;
  guessed: boolean;
  landed_at: string;
  word: string;
  act: string;
  short_act: string;
  confidence: number;
  pressed: string;
  test_frame: boolean;
  layer: boolean;
  burst: string;
  burst_reason: string;
  look_at: [number, number] | null;
}

/** What a layer added or moved, drawn on its frame. */
export interface LayerMark {
  kind: string;
  box: [number, number, number, number];
  words: string;
  asked: boolean;
  outline: [number, number][];
}

/** One layer of a shot. */
export interface LayerShown {
  frame: string;
  number: number;
  lines: string[];
  marks: LayerMark[];
}

/** All layers of a shot, and what is said of them together. */
export interface LayersShown {
  shot: string;
  layers: LayerShown[];
  said: string[];
}

/** The light on set: `code` is what it does, the rest is said of it. */
export interface LeftShown {
  shot: string;
  code: string;
  lines: string[];
  until: string | null;
  predicted_until: string | null;
  predicted_from: string | null;
  planned_for: string;
  planned_notice: string;
}

/** A shot's light over the part of the day that is drawn. */
export interface LightShown {
  minutes: number[];
  lux: number[];
  good: ClockSpan[];
  good_min: number;
  curve: string;
}

/** One frame, drawn on. */
export interface Marks {
  frame: string;
  marks: SaidMark[];
  acts: string[];
  judged: string;
  facts: string[];
}

/** A file in the frames folder that cannot be used. */
export interface NotUsed {
  name: string;
  reason: string;
}

/** A frame that Plateside would take, or that you took. */
export interface PickShown {
  frame: string;
  name: string;
  by: string;
  why: string;
}

/** A finished picture. */
export interface PictureFinished {
  shot: string;
  frame: string;
  frame_id: string;
  file: string;
  version: string;
  width_px: number;
  height_px: number;
  from_raw: boolean;
  figures: Row[];
  said: string[];
  made_from: string;
  size: string;
  before: string;
}

/** A finished picture, whole. */
export interface PictureToCrop {
  version: string;
  width_px: number;
  height_px: number;
}

/** The whole day. */
export interface PlannedDay {
  version: string;
  studio_version: string;
  place: string;
  begins: string;
  from_min: number;
  to_min: number;
  day_from_min: number;
  day_to_min: number;
  hours: [number, string][];
  good_for_all: ClockSpan[];
  shots: ShotShown[];
  kitchen: TaskShown[];
  kitchen_lane: string;
  key: KeySign[];
  plates: string[];
  notes: string[];
  cautions: string[];
  rule: string;
  unlit: string;
}

/** One thing left to fix or to remark, and where: an address with the words of its link. */
export interface PointShown {
  words: string;
  address: string;
  link: string;
  code: string;
  shot: string;
  blocks: boolean;
}

/** What Plateside would choose for every shot. */
export interface ProposalShown {
  shots: ChoiceShown[];
}

/** The dish. */
export interface RecipeShown {
  title: string;
  description: string;
}

/** One fact by its name, without a full stop: a row of a page's list, or 'Name: value.' as a command's line. */
export interface Row {
  code: string;
  name: string;
  value: string;
}

/** A sentence with the code that a page styles it by, and a test asks for. */
export interface Said {
  code: string;
  words: string;
}

/** A mark with what it is in words, for the page. */
export interface SaidMark {
  kind: string;
  box: [number, number, number, number];
  asked: boolean;
  code: string;
  outline: [number, number][];
  share: number;
  words: string;
}

/** The frame that stands for a shot before it is finished. */
export interface SelectShown {
  id: string;
  name: string;
  by_you: boolean;
}

/** The screen, and whether anything watches for frames. */
export interface SetScreen {
  row: number;
  at: string;
  title: string;
  current: string;
  place: number;
  shots: SetShot[];
  left: number;
  next_shot: string;
  caution: string;
  frame: LastFrame | null;
  undo: string;
  lamp_check: boolean;
  not_used: NotUsed[];
  not_used_count: number;
  watching: boolean;
  unwatched: string[];
  trouble: string;
}

/** One shot of the list. */
export interface SetShot {
  name: string;
  frames: number;
  done: boolean;
  test_frame: string;
  layers: string[];
}

/** All frames, in the short form: two thousand of them are some 130 kB. */
export interface SheetsShown {
  row: number;
  title: string;
  shots: ShotChosen[];
  words: string[];
  pressed: string[];
  acts: string[];
  frames: [string, string, number, number, number, number, number][];
  strips: string[];
  cells: number;
  style: string;
}

/** A shot's own choice: ids of frames, empty when there is none. */
export interface ShotChosen {
  name: string;
  select: string;
  alternate: string;
}

/** A shot, its crops and words. */
export interface ShotDelivered {
  name: string;
  role: string;
  frames: number;
  person: boolean;
  model_release: boolean;
  withheld: boolean;
  channels: string[];
  crops: Record<string, number[]>;
  select: SelectShown | null;
  picture: PictureToCrop | null;
  words: WordsShown;
  notes: Said[];
  as_taken: string;
  release_words: string;
}

/** A shot, and its finished picture when there is one. */
export interface ShotFinished {
  name: string;
  role: string;
  frames: number;
  select: string;
  notes: Said[];
  again: string;
  picture: PictureFinished | null;
}

/** One shot of the list. */
export interface ShotShown {
  name: string;
  slot: SlotShown | null;
  light: LightShown | null;
  card: CardShown | null;
  problem: string;
  strip: string;
}

/** A shot's time. */
export interface SlotShown {
  start_min: number;
  end_min: number;
  words: string;
  set_min: number;
  setting_words: string;
  hero_min: number;
  hero_words: string;
  frames_words: string;
  good_light: boolean;
  remarks: string[];
}

/** A stretch of the day [s since 1970 UTC], and as the clock has it. */
export interface Span {
  start_s: number;
  end_s: number;
  words: string;
  minutes: number;
}

/** One step of cooking. */
export interface TaskShown {
  start_min: number;
  end_min: number;
  words: string;
  name: string;
  hands: boolean;
  why: string;
  day_before: boolean;
}

/** A wish of the shot that the set-up does not meet. */
export interface Unmet {
  code: string;
  about: string;
  limit_m: number | null;
  asked: number[];
  got: number[];
  unit: string;
  reason: string;
  ways_out: Way[];
  fails: boolean;
  place: Finding | null;
}

/** One way out of what is not as asked; which fields are used goes by the code. */
export interface Way {
  code: string;
  name: string;
  names: string[];
  size: number[];
  value: number | null;
  was: number | null;
  stops: number | null;
  count: number | null;
}

/** One day of seven, at its best spot. */
export interface WeekDayShown {
  day: string;
  name: string;
  long_name: string;
  good: [number, number][];
  good_words: string;
  total_words: string;
  lux: string;
  spot: string;
  best: boolean;
  no_daylight: boolean;
}

/** Seven days. */
export interface WeekShown {
  answer: string;
  days: WeekDayShown[];
  missing: string;
}

/** The words in the fields, those that are used, what is wrong with them. */
export interface WordsShown {
  title: string;
  caption: string;
  alt_text: string;
  used: WordsUsed;
  stand_in: string;
  remarks: Said[];
}

/** The words as they are delivered. */
export interface WordsUsed {
  title: string;
  caption: string;
  alt_text: string;
}
