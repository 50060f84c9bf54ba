// What the handbook's scripts hand each other through the window.
interface Window {
  seatworkUnits: any;
  seatworkNumbers: any;
  seatworkResults: any;
  seatworkSlip: any;
  seatworkOutbox: any;
  seatworkHandIn: any;
  /** vendor/qrcode.js, once a slip was shown. */
  qrcode: any;
  seatworkMachines: any;
  seatworkFormulas: any;
  seatworkWords: any;
  /** words.js, and the translations it reads. */
  seatworkSay: any;
  seatworkStrings: any;
  seatworkMine: any;
  seatworkRoles: any;
  seatworkPicture: any;
  seatworkNext: any;
  /** Set where the browser keeps nothing: see store.js. */
  seatworkForgets?: boolean;
}

// A selector's element is of the kind the script asks for; TypeScript cannot know which.
interface ParentNode {
  querySelector(selectors: string): any;
  querySelectorAll(selectors: string): NodeListOf<any>;
}
interface EventTarget {
  closest(selectors: string): any;
}
interface Document {
  addEventListener(type: string, listener: (event: any) => void): void;
}
interface Window {
  [store: string]: any;
}
