using System.Numerics;

namespace PatchLang.Writing;

/// <summary>The units of the language behind any number: <c>48.kHz</c>, <c>-6.dB</c>, <c>0.25.ms</c>.</summary>
public static class AmountUnits
{
    extension<T>(T number)
        where T : INumber<T>
    {
        /// <summary>So many hertz.</summary>
        public Amount Hz => Amount.Of(number, "Hz");

        /// <summary>So many kilohertz.</summary>
        public Amount kHz => Amount.Of(number, "kHz");

        /// <summary>So many megahertz.</summary>
        public Amount MHz => Amount.Of(number, "MHz");

        /// <summary>So many seconds.</summary>
        public Amount s => Amount.Of(number, "s");

        /// <summary>So many milliseconds.</summary>
        public Amount ms => Amount.Of(number, "ms");

        /// <summary>So many microseconds.</summary>
        public Amount us => Amount.Of(number, "us");

        /// <summary>So many nanoseconds.</summary>
        public Amount ns => Amount.Of(number, "ns");

        /// <summary>So many decibels: a gain.</summary>
        public Amount dB => Amount.Of(number, "dB");

        /// <summary>So many decibels over 0.7746 V.</summary>
        public Amount dBu => Amount.Of(number, "dBu");

        /// <summary>So many decibels over 1 V.</summary>
        public Amount dBV => Amount.Of(number, "dBV");

        /// <summary>So many decibels under digital full scale.</summary>
        public Amount dBFS => Amount.Of(number, "dBFS");

        /// <summary>So many volts.</summary>
        public Amount V => Amount.Of(number, "V");

        /// <summary>So many millivolts.</summary>
        public Amount mV => Amount.Of(number, "mV");

        /// <summary>So many amperes.</summary>
        public Amount A => Amount.Of(number, "A");

        /// <summary>So many milliamperes.</summary>
        public Amount mA => Amount.Of(number, "mA");

        /// <summary>So many watts.</summary>
        public Amount W => Amount.Of(number, "W");

        /// <summary>So many milliwatts.</summary>
        public Amount mW => Amount.Of(number, "mW");

        /// <summary>So many parts per million.</summary>
        public Amount ppm => Amount.Of(number, "ppm");

        /// <summary>So many metres.</summary>
        public Amount m => Amount.Of(number, "m");

        /// <summary>So many kilometres.</summary>
        public Amount km => Amount.Of(number, "km");

        /// <summary>So many feet.</summary>
        public Amount ft => Amount.Of(number, "ft");

        /// <summary>So many ohms.</summary>
        public Amount ohm => Amount.Of(number, "ohm");

        /// <summary>So many megabits a second.</summary>
        public Amount MbitPerSecond => Amount.Of(number, "Mbit/s");

        /// <summary>So many gigabits a second.</summary>
        public Amount GbitPerSecond => Amount.Of(number, "Gbit/s");

        /// <summary>So many per cent.</summary>
        public Amount Percent => Amount.Of(number, "%");
    }
}
