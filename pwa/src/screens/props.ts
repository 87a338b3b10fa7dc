/** What every screen is given. */
export interface ScreenProps {
  day: string; // "" for today's
}
