// What the server sends, as scripts/page_types.py takes it from the types that are sent. Not written by hand.

/** Which way a window looks by the sun, and how far the room would have to be turned [deg]. */
export interface BearingShown {
  lines: string[];
  bearing_deg: number;
  change_deg: number;
}

/** Where a shoot that was begun or opened is looked at, and what was made. */
export interface Begun {
  next: string;
  said?: string[];
}

/** Furniture as a box on the floor: a cupboard, an island, a fridge. */
export interface Block {
  name: string;
  from_left_m: number;
  from_front_m: number;
  width_m: number;
  depth_m: number;
  height_m: number;
  bottom_m: number;
  reflectance: number | [number, number, number];
}

/** A white or black board you can put beside the dish. */
export interface Board {
  name: string;
  width_m: number;
  height_m: number;
  reflectance: number | [number, number, number];
}

/** What was found of a file that came back from retouching. */
export interface CameBackShown {
  code: string;
  words: string;
  picture: string;
}

/** A camera body. */
export interface Camera {
  name: string;
  sensor_width_mm: number;
  sensor_height_mm: number;
  pixels_wide: number;
  pixels_high: number;
  base_iso: number;
  highest_iso: number;
  slowest_s: number;
  fastest_s: number;
  weight_kg: number;
  full_well_electrons: number;
  read_noise_electrons: number;
  exif_model: string;
  clock_offset_s: number;
  meter_factor: number;
}

/** The raws among the shoot's frames, newest first. */
export interface CardFrames {
  frames: string[];
}

/** The light on a grey card; `at` is local, None where the frame does not say it. */
export interface CardRead {
  illuminance_lx: number;
  spread_stops: number;
  at: string | null;
  evidence: string;
}

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
  focus: string;
  put: string[];
  facts: Row[];
  side: string;
  top: string;
  not_as_asked: string[];
  unmet: Unmet[];
  sizes: string;
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

/** A place where a picture goes, by shape and size. */
export interface Channel {
  name: string;
  width_px: number;
  height_px: number;
  formats: string[];
  largest_kb: number | null;
  text_space: string;
  on_page: boolean;
}

/** A place where pictures go. */
export interface ChannelShown {
  name: string;
  width_px: number;
  height_px: number;
  text_space: string;
  on_page: boolean;
}

/** A frame whose colour chart counts. */
export interface ChartMarked {
  frame: string;
  corners: number[];
}

/** Where a chart is, and what it is worth. */
export interface ChartShown {
  frame: string;
  corners: number[];
  said: string[];
  mean: number;
  worst: number;
}

/** One shot. */
export interface ChoiceShown {
  shot: string;
  select: PickShown | null;
  alternate: PickShown | null;
  remark: string;
}

/** One place of the list. */
export interface City {
  name: string;
  region: string;
  country: string;
  country_code: string;
  latitude_deg: number;
  longitude_deg: number;
  timezone: string;
  population: number;
}

/** Before the set is cleared: the verdict, then shot by shot. */
export interface ClearingShown {
  head: string;
  may_clear: boolean;
  shots: ShotCleared[];
}

/** From one minute to another, after the local midnight of the day, with both in words. */
export interface ClockSpan {
  start_min: number;
  end_min: number;
  words: string;
  start_at: string;
  end_at: string;
}

/** How large a frame is, pixel for pixel. */
export interface CloseSize {
  wide: number;
  high: number;
  tile: number;
}

/** One frame, for who looks closely. */
export interface CloserFacts {
  frame: string;
  shot: string;
  crops: CropAhead[];
  lacks: string[];
  lead: string;
  test_frame: string;
  test_over: [number, number, number, number] | null;
  test_words: string;
  roll_deg: number | null;
  roll_by: string;
}

/** Who made the pictures, and what others may do with them. */
export interface Creator {
  name: string;
  credit: string;
  copyright: string;
  licence_url: string;
  acquire_url: string;
  usage_terms: string;
  page_url: string;
  language: string;
}

/** What others may do. */
export interface CreatorShown {
  licence_url: string;
  usage_terms: string;
}

/** One channel's crop of the frame, as a delivery would take it. */
export interface CropAhead {
  channel: string;
  box: [number, number, number, number];
  width_px: number;
  height_px: number;
  whole: boolean;
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

/** Where the whole demo lies. */
export interface DemoMade {
  shoot: string;
}

/** A tablet that may come in. */
export interface DeviceShown {
  number: number;
  name: string;
  since: string;
}

/** A sheer or diffusion sheet you can hang over a window. */
export interface Diffuser {
  name: string;
  diffuse_transmittance: number;
  clear_transmittance: number;
  reflectance: number;
  window: string;
  covers_share: number;
}

/** A page or a list of the delivery. */
export interface DocumentDelivered {
  file: string;
  bytes: number;
}

/** One field of one table. */
export interface FieldSchema {
  name: string;
  label: string;
  kind: string;
  doc: string;
  empty: string;
  unit: string;
  low: number | null;
  high: number | null;
  words: string[];
  required: boolean;
  optional: boolean;
  default: any;
  example: string;
  example_value: any;
  form: string;
  form_words: string;
  names: string;
  table: string;
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
  extras: ShotFinished[];
  charts: ChartMarked[];
  raws: OtherFrame[];
  came_back: CameBackShown[];
  take_in: string;
  headline: string;
  greyed_out: string;
  look_off: string;
  like_it: string;
  series_hand: HandShown;
  limits: HandShown;
  lens: string;
  lens_said: string;
  lens_choice: string[];
  lens_mine: string;
}

/** What each question is answered with where nothing is, the eight winds, and usual sizes outside. */
export interface FirstRunShown {
  usual: Record<string, any>;
  compass: string[];
  outside_usual: Record<string, OutsideUsual>;
}

/** What your light readings corrected about this room, and how sure that is. */
export interface Fit {
  date: string;
  light_factor: number;
  light_factor_spread_stops: number;
  reflectance_factor: number;
  skyline_lift_deg: number;
  skyline_lift_spread_deg: number;
  readings: number;
}

/** What the readings teach: the sentences, and [fit] as it would be written. */
export interface FitShown {
  lines: string[];
  fit: Fit;
}

/** A frame of the grey card is wanted. */
export interface GreyCardAsked {
  why: string;
  stops: number | null;
  mired: number | null;
}

/** What is set by hand, for a picture or the series. */
export interface HandShown {
  brighter_stops: number;
  warmer_mired: number;
  magenta_cc: number;
  turned_degrees: number;
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

/** A piece of long work as pages are told of it. */
export interface JobShown {
  job: number;
  work: string;
  args: Record<string, any>;
  state: "waiting" | "running" | "done" | "stopped" | "failed";
  done: number;
  total: number;
  words: string;
  mistakes: Record<string, any>[];
  server: string;
  ending: boolean;
  result?: any;
}

/** All that are known, oldest first. */
export interface JobsShown {
  jobs: JobShown[];
}

/** A block of the lanes and what it means. */
export interface KeySign {
  svg: string;
  words: string;
}

/** The shape that a dish's name speaks of; empty when it speaks of none. */
export interface KindSaid {
  kind: string;
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
  chart: boolean;
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

/** A shot's layout. */
export interface LayoutShown {
  shot: string;
  name: string;
  page: number;
  pages: number;
  key: string;
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
  white_k: number;
}

/** A lens; a zoom has two focal lengths. */
export interface Lens {
  name: string;
  focal_length_mm: number;
  focal_length_to_mm: number | null;
  widest_aperture: number;
  smallest_aperture: number;
  closest_focus_m: number;
  pupil_magnification: number;
  weight_kg: number;
  length_mm: number;
}

/** Where a browser that was let in goes on. */
export interface LetIn {
  to: string;
}

/** How a frame's levels lie below clipping. */
export interface LevelsShown {
  kind: string;
  counts: number[][];
  stops: number;
  headroom_stops: [number, number, number];
  clipped_share: [number, number, number];
  said: string[];
}

/** A shot's light over the part of the day that is drawn. */
export interface LightShown {
  minutes: number[];
  lux: number[];
  good: ClockSpan[];
  good_min: number;
  curve: string;
}

/** How many lines are still to be fixed. */
export interface LinesLeft {
  left: number;
}

/** One shoot of the list on the start page. */
export interface ListedShoot {
  key: string;
  title: string;
  date: string;
  place: string;
  frames: number;
  wrong: string;
}

/** One frame, drawn on. */
export interface Marks {
  frame: string;
  marks: SaidMark[];
  acts: string[];
  judged: string;
  facts: string[];
}

/** A month in a line. */
export interface MonthShown {
  name: string;
  good_h_per_day: string;
  days_with_good_light: number;
  sun_on_dish_h: string;
}

/** A file in the frames folder that cannot be used. */
export interface NotUsed {
  name: string;
  reason: string;
}

/** Disks and cards that are plugged in. */
export interface Offered {
  disks: string[];
  cards: string[];
}

/** Something you see outside the window: a building, a hill, a tree. */
export interface Opposite {
  name: string;
  bearing_from_deg: number;
  bearing_to_deg: number;
  distance_m: number;
  top_above_ground_m: number;
  reflectance: number | [number, number, number];
  see_through: number;
}

/** A frame of a shot that is not finished. */
export interface OtherFrame {
  id: string;
  name: string;
}

/** What is taken where nobody measured. */
export interface OutsideUsual {
  distance_m: number;
  height_m: number;
  see_through: number;
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
  retouched: string;
  made_from_key: string;
  can_be_set: boolean;
}

/** A finished picture, whole. */
export interface PictureToCrop {
  version: string;
  width_px: number;
  height_px: number;
}

/** Where on Earth the studio is. */
export interface Place {
  latitude_deg: number;
  longitude_deg: number;
  timezone: string;
  name: string;
  altitude_m: number;
  country: string;
  units: string;
}

/** One place, or those that may have been meant. */
export interface PlaceTyped {
  city: City | null;
  offered: City[];
  said: string;
}

/** A board placed for a shot. Sides are seen from the camera. */
export interface PlacedBoard {
  board: string;
  side: string;
  distance_m: number;
}

/** What may be meant by a text that is still being typed. */
export interface PlacesFor {
  cities: City[];
  near: City[];
  said: string;
}

/** The plan as SVG. */
export interface PlanDrawn {
  svg: string;
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

/** A plate, bowl, glass, spoon, cloth or other small thing. */
export interface Prop {
  name: string;
  kind: string;
  width_mm: number;
  height_mm: number;
  colour: string;
  gloss: string;
}

/** What Plateside would choose for every shot. */
export interface ProposalShown {
  shots: ChoiceShown[];
}

/** A light reading you took: lux you typed, or a frame of the grey card. */
export interface Reading {
  at: string;
  spot: string;
  illuminance_lx: number;
  sky: string;
  source: string;
  evidence: string;
}

/** The dish and how it is made. */
export interface Recipe {
  title: string;
  description: string;
  serves: string;
  cuisine: string;
  course: string;
  keywords: string[];
  ingredients: string[];
  allergens: string[];
  steps: Step[];
  perishable: boolean;
}

/** The dish. */
export interface RecipeShown {
  title: string;
  description: string;
}

/** What is worth a look: its code, what it is about, what is said. */
export interface RemarkShown {
  code: string;
  about: string;
  said: string;
}

/** The room as a box; reflectances are shares from 0 to 1, or three of them for red, green, blue. */
export interface Room {
  width_m: number;
  depth_m: number;
  height_m: number;
  front_bearing_deg: number | null;
  floor_reflectance: number | [number, number, number];
  ceiling_reflectance: number | [number, number, number];
  front_reflectance: number | [number, number, number];
  right_reflectance: number | [number, number, number];
  back_reflectance: number | [number, number, number];
  left_reflectance: number | [number, number, number];
}

/** One fact by its name, without a full stop: a row of a page's list, or 'Name: value.' as a command's line. */
export interface Row {
  code: string;
  name: string;
  value: string;
}

/** What is on two disks, and what is said of it. */
export interface SafeShown {
  state: string;
  all_on_two: boolean;
  may_be_cleared: boolean;
  short: string;
  lines: string[];
  card: string[];
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
  left_of_day: number;
  next_shot: string;
  caution: string;
  frame: LastFrame | null;
  undo: string;
  lamp_check: boolean;
  not_used: NotUsed[];
  not_used_count: number;
  grey_card: GreyCardAsked | null;
  watching: boolean;
  unwatched: string[];
  trouble: string;
  safe: SafeShown | null;
  grey: string[];
}

/** One shot of the list. */
export interface SetShot {
  name: string;
  frames: number;
  done: boolean;
  day: string;
  day_words: string;
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

/** The whole of shoot.toml. */
export interface Shoot {
  date: string;
  recipe: Recipe;
  creator: Creator;
  studio: string;
  frames: string;
  second_disk: string;
  memory_card: string;
  sky: string;
  from_time: string;
  to_time: string;
  shots: Shot[];
  channels: Channel[];
}

/** shoot.toml as it is now. */
export interface ShootFile {
  file: string;
  version: string;
  value: Shoot;
  can_undo: boolean;
}

/** One wanted picture. */
export interface Shot {
  name: string;
  angle: string;
  elevation_deg: number | null;
  camera_faces_deg: number;
  frame_width_mm: number;
  frame_height_mm: number;
  space_percent: number | null;
  orientation: string;
  sharp: string;
  dish_width_mm: number;
  dish_height_mm: number;
  background_gap_mm: number;
  background_blur_percent: number | null;
  moves: string;
  person: boolean;
  model_release: boolean;
  fall_height_mm: number;
  spot: string;
  camera: string;
  lens: string;
  support: string;
  surface: string;
  props: string[];
  boards: PlacedBoard[];
  stand_in: string;
  glossy: boolean;
  fill_stops: number | null;
  polariser_stops: number | null;
  extras: string[];
  least_lx: number | null;
  direct_sun: boolean;
  deliberate: string[];
  date: string;
  from_time: string;
  to_time: string;
  minutes: number;
  irreversible: boolean;
  channels: string[];
  title: string;
  caption: string;
  alt_text: string;
  role: string;
}

/** A shot's own choice: ids of frames, empty when there is none. */
export interface ShotChosen {
  name: string;
  select: string;
  alternate: string;
}

/** One shot before the set is cleared. */
export interface ShotCleared {
  name: string;
  frame: string;
  complete: boolean;
  needs_dish: boolean;
  lines: string[];
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
  hand: HandShown;
  hand_changed: boolean;
  square: string;
  corners: number[];
  preview_version: string;
  extra: string;
  extra_frame: string;
  of: string;
  others: OtherFrame[];
}

/** One shot of the list. */
export interface ShotShown {
  name: string;
  date: string;
  day_words: string;
  slot: SlotShown | null;
  light: LightShown | null;
  card: CardShown | null;
  problem: string;
  strip: string;
}

/** A drawing and what is said of it. */
export interface Sketched {
  svg: string;
  words: string;
}

/** A shot's time. */
export interface SlotShown {
  start_min: number;
  end_min: number;
  words: string;
  start_at: string;
  end_at: string;
  set_min: number;
  setting_words: string;
  hero_min: number;
  hero_words: string;
  hero_at: string;
  plate: string;
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

/** A place where the dish can stand: the middle of a table top. */
export interface Spot {
  name: string;
  from_left_m: number;
  from_front_m: number;
  height_m: number;
  table_width_m: number;
  table_depth_m: number;
  table_reflectance: number | [number, number, number];
}

/** The shoots of this folder, and the stages of the whole demo with the parts that each counts. */
export interface StartShown {
  stages: string[];
  stage: number;
  shoots: ListedShoot[];
  day: string;
}

/** One step of the recipe. */
export interface Step {
  name: string;
  takes: string;
  hands: boolean;
  looks_fresh_for: string;
  text: string;
  for_shot: string;
}

/** The whole of studio.toml. */
export interface Studio {
  place: Place;
  room: Room;
  windows: Window[];
  spots: Spot[];
  boards: Board[];
  diffusers: Diffuser[];
  furniture: Block[];
  cameras: Camera[];
  lenses: Lens[];
  supports: Support[];
  surfaces: Surface[];
  props: Prop[];
  readings: Reading[];
  fit: Fit;
}

/** studio.toml as it is now, as tasks.studio.edit reads it. */
export interface StudioFile {
  file: string;
  version: string;
  value: Studio;
  can_undo: boolean;
}

/** The room and its gear, the fields of every table by its path, the shoot whose boards are placed here. */
export interface StudioShown {
  now: StudioFile;
  tables: Record<string, FieldSchema[]>;
  shoot: ShootFile | null;
  worth: RemarkShown[];
}

/** What holds the camera: a tripod, a tripod with an overhead arm, or hands. */
export interface Support {
  name: string;
  kind: string;
  lowest_m: number;
  highest_m: number;
  arm_reach_m: number;
  weight_kg: number;
  arm_weight_kg: number;
  feet_radius_m: number;
  load_limit_kg: number | null;
  head_weight_kg: number;
}

/** A tabletop, cloth or stone that the dish stands on. */
export interface Surface {
  name: string;
  width_m: number;
  depth_m: number;
  colour: string;
  material: string;
}

/** Whether tablets are let in: the address, the code and how long it counts [s]; empty where they are not. */
export interface TabletShown {
  url: string;
  code: string;
  seconds: number;
  devices: DeviceShown[];
}

/** One step of cooking. */
export interface TaskShown {
  start_min: number;
  end_min: number;
  words: string;
  start_at: string;
  end_at: string;
  name: string;
  hands: boolean;
  why: string;
  day_before: boolean;
}

/** The file that has something to fix, as it is now. */
export interface ToFix {
  which: string;
  version: string;
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

/** Which version of the file there is. */
export interface VersionShown {
  version: string;
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

/** One window: a rectangle in one of the four walls. */
export interface Window {
  name: string;
  bearing_deg: number;
  width_m: number;
  height_m: number;
  sill_m: number;
  from_left_m: number | null;
  glass_transmittance: number;
  dirt_factor: number;
  frame_share: number;
  reveal_depth_m: number;
  overhang_depth_m: number;
  overhang_above_m: number;
  floor_above_ground_m: number;
  ground_reflectance: number | [number, number, number];
  opposite: Opposite[];
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

/** What is worth a look by now. */
export interface WorthShown {
  worth: RemarkShown[];
}

/** By an answer's name, what is wrong with it. */
export interface Wrong {
  wrong: Record<string, string>;
}

/** The year is still to be worked out. */
export interface YearNotKept {
  kept: "False";
  key: string;
}

/** A year: its answer and months, its drawing, what is read out of it (as YearDrawn tells). */
export interface YearShown {
  year: number;
  spot: string;
  place: string;
  sky: string;
  needs: string;
  answer: string;
  read_min: number;
  first_hour: number;
  last_hour: number;
  calendar: string;
  calendar_small: string;
  lux: ((number | null)[])[];
  good: [number, number][][];
  sun: [number, number][][];
  spread: [number, number];
  months: MonthShown[];
}
