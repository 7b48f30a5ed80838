using System.Numerics;

namespace PatchLang.Writing;

/// <summary>The units of the language as properties of any number: <c>48.kHz</c>, <c>-6.dB</c>, <c>0.25.ms</c>.</summary>
public static class AmountUnits
{
    extension<T>(T number)
        where T : INumber<T>
    {
        /// <summary>An amount in hertz.</summary>
        public Amount Hz => Amount.Of(number, "Hz");

        /// <summary>An amount in kilohertz.</summary>
        public Amount kHz => Amount.Of(number, "kHz");

        /// <summary>An amount in megahertz.</summary>
        public Amount MHz => Amount.Of(number, "MHz");

        /// <summary>An amount in seconds.</summary>
        public Amount s => Amount.Of(number, "s");

        /// <summary>An amount in milliseconds.</summary>
        public Amount ms => Amount.Of(number, "ms");

        /// <summary>An amount in microseconds.</summary>
        public Amount us => Amount.Of(number, "us");

        /// <summary>An amount in nanoseconds.</summary>
        public Amount ns => Amount.Of(number, "ns");

        /// <summary>A gain in decibels.</summary>
        public Amount dB => Amount.Of(number, "dB");

        /// <summary>A level in dBu (relative to 0.7746 V).</summary>
        public Amount dBu => Amount.Of(number, "dBu");

        /// <summary>A level in dBV (relative to 1 V).</summary>
        public Amount dBV => Amount.Of(number, "dBV");

        /// <summary>A level in dBFS (relative to digital full scale).</summary>
        public Amount dBFS => Amount.Of(number, "dBFS");

        /// <summary>An amount in volts.</summary>
        public Amount V => Amount.Of(number, "V");

        /// <summary>An amount in millivolts.</summary>
        public Amount mV => Amount.Of(number, "mV");

        /// <summary>An amount in amperes.</summary>
        public Amount A => Amount.Of(number, "A");

        /// <summary>An amount in milliamperes.</summary>
        public Amount mA => Amount.Of(number, "mA");

        /// <summary>An amount in watts.</summary>
        public Amount W => Amount.Of(number, "W");

        /// <summary>An amount in milliwatts.</summary>
        public Amount mW => Amount.Of(number, "mW");

        /// <summary>An amount in parts per million.</summary>
        public Amount ppm => Amount.Of(number, "ppm");

        /// <summary>An amount in metres.</summary>
        public Amount m => Amount.Of(number, "m");

        /// <summary>An amount in kilometres.</summary>
        public Amount km => Amount.Of(number, "km");

        /// <summary>An amount in feet.</summary>
        public Amount ft => Amount.Of(number, "ft");

        /// <summary>An amount in ohms.</summary>
        public Amount ohm => Amount.Of(number, "ohm");

        /// <summary>A data rate in megabits per second.</summary>
        public Amount MbitPerSecond => Amount.Of(number, "Mbit/s");

        /// <summary>A data rate in gigabits per second.</summary>
        public Amount GbitPerSecond => Amount.Of(number, "Gbit/s");

        /// <summary>An amount in per cent.</summary>
        public Amount Percent => Amount.Of(number, "%");
    }
}
