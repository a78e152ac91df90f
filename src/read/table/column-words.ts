/**
 * What people call columns, in English and in the words that spreadsheets of German, French and Spanish drivers hold, by
 * what we call them. Common practice, no source.
 */
const WORDS: Record<string, string> = {
  track:
    'file filename file_name gpx gpx_file track_file track_name trackname recording recording_file run drive log logfile log_file datei aufzeichnung fahrt fichier trace archivo recorrido',
  setup: 'config configuration set_up variant configuración konfiguration aufbau variante fitted equipment',
  fuel: 'fuel_used fuel_amount amount quantity volume filled filled_up fill refuelled refueled fuel_consumed tanked getankt menge kraftstoff sprit verbrauch kraftstoffverbrauch consommation consumo fuel_consumption fuel_economy carburant combustible gasolina diesel petrol gasoline',
  fuel_temperature: 'fuel_temp kraftstofftemperatur',
  odometer: 'odo mileage kilometerstand km_stand kilométrage cuentakilómetros',
  distance: 'dist trip_distance km_driven miles_driven strecke distancia trayecto',
  fill_group: 'pump_chain',
  price: 'cost total_cost preis kosten betrag gesamtpreis prix coste precio',
  pump: 'tankstelle gas_station petrol_station fuel_station filling_station gasolinera station_service',
  soc_before: 'soc_start start_soc soc_vorher soc_beginn',
  soc_after: 'soc_end end_soc soc_nachher soc_ende',
  full: 'full_tank tank_full full_fill filled_to_full voll vollgetankt voll_getankt plein lleno tanque_lleno',
  partial: 'partial_fill partial_tank part_fill teilbetankung teilgetankt',
  tyre_pressure:
    'tyre tyres tire tires tire_pressure tyre_pressures tire_pressures reifendruck pression_des_pneus presión_neumáticos',
  payload: 'load cargo zuladung beladung charge_utile carga',
  accessories: 'aux auxiliaries accessory_power',
  trip_computer: 'board_computer onboard_computer on_board_computer bordcomputer dash_display ordinateur_de_bord',
  energy: 'energy_used charged kwh_charged energy_charged geladen geladene_energie cargado energie energía',
  note: 'notes comment comments remark remarks bemerkung bemerkungen kommentar notiz anmerkung observaciones nota notas remarque remarques',
  exclude: 'excluded ignore leave_out',
  photo: 'photos picture image foto bild',
  temperature:
    'temp air_temp outside_temp outside_temperature ambient ambient_temp ambient_temperature oat temperatur lufttemperatur aussentemperatur außentemperatur température temperatura',
  dew_point: 'dew_pt dewpt taupunkt punto_de_rocío point_de_rosée',
  relative_humidity: 'humidity rh rel_hum relhum rel_humidity luftfeuchte luftfeuchtigkeit humedad humidité',
  wind_speed: 'windspeed wind_velocity wspd windgeschwindigkeit velocidad_del_viento vitesse_du_vent avg_wind_speed',
  wind_from:
    'wind_direction winddirection wind_dir winddir wdir windrichtung wind_from_direction dirección_del_viento direction_du_vent',
  wind_gust: 'gust gusts wind_gusts max_wind gust_speed böen windböen rafale racha',
  altimeter: 'altimeter_setting qnh',
  precipitation: 'precip rainfall rain niederschlag lluvia pluie',
  station: 'station_name site wetterstation',
  lat: 'breite breitengrad latitud',
  lon: 'long lng länge längengrad longitud',
  time: 'datetime date_time date_and_time date/time timestamp time_stamp local_time observation_time zeit zeitpunkt uhrzeit datum_zeit datum/zeit fecha_hora hora heure',
  date: 'day datum fecha',
  from: 'start begin start_time begin_time von departure abfahrt',
  to: 'end end_time finish bis arrival ankunft',
  driver: 'fahrer conductor conducteur',
}

const BY_WORD = new Map<string, string>(
  Object.entries(WORDS).flatMap(([ours, words]) => words.split(' ').map((word) => [word, ours] as const)),
)

/** Our name for a column that people call so; null for words that are not known. */
export const ourWord = (word: string): string | null => BY_WORD.get(word) ?? null
