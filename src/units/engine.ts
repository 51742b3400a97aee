/** What turns sound into words; see `hearing/`. */
export type EngineId = 'embedded' | 'vosk';
