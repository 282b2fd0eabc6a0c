// Defines <lentic-advisor>. It shares the engine with the package's front door.
export { LenticAdvisor } from "./element/lentic-advisor.js";
