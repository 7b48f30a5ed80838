using PatchLang.Physics;

namespace PatchLang.Scripting.Model;

/// <summary>Quantities as a plan writes them: <c>48.kHz</c>, <c>5.ms</c>, <c>-6.dB</c>, <c>4.dBu</c>, <c>100.m</c>, <c>1.Gbit</c>.</summary>
public static class Written
{
    extension(int number)
    {
        /// <summary>A frequency in Hz.</summary>
        public Hertz Hz => new(number);

        /// <summary>A frequency in kHz.</summary>
        public Hertz kHz => new(number * 1e3);

        /// <summary>A time in seconds.</summary>
        public TimeSpan s => TimeSpan.FromSeconds(number);

        /// <summary>A time in milliseconds.</summary>
        public TimeSpan ms => Latency.Seconds(number * 1e-3);

        /// <summary>A gain in dB.</summary>
        public Decibels dB => new(number);

        /// <summary>A level in dBu.</summary>
        public Level dBu => Level.Dbu(number);

        /// <summary>A level in dBFS.</summary>
        public Level dBFS => Level.Dbfs(number);

        /// <summary>A length in metres.</summary>
        public Metres m => new(number);

        /// <summary>A data rate in megabits per second.</summary>
        public BitRate Mbit => new(number * 1e6);

        /// <summary>A data rate in gigabits per second.</summary>
        public BitRate Gbit => new(number * 1e9);
    }
}

/// <summary>The same for numbers with a fraction: <c>44.1.kHz</c>, <c>0.25.ms</c>.</summary>
public static class WrittenFractions
{
    extension(double number)
    {
        /// <summary>A frequency in kHz.</summary>
        public Hertz kHz => new(number * 1e3);

        /// <summary>A time in seconds.</summary>
        public TimeSpan s => Latency.Seconds(number);

        /// <summary>A time in milliseconds.</summary>
        public TimeSpan ms => Latency.Seconds(number * 1e-3);

        /// <summary>A gain in dB.</summary>
        public Decibels dB => new(number);

        /// <summary>A level in dBu.</summary>
        public Level dBu => Level.Dbu(number);

        /// <summary>A level in dBFS.</summary>
        public Level dBFS => Level.Dbfs(number);

        /// <summary>A length in metres.</summary>
        public Metres m => new(number);

        /// <summary>A data rate in megabits per second.</summary>
        public BitRate Mbit => new(number * 1e6);

        /// <summary>A data rate in gigabits per second.</summary>
        public BitRate Gbit => new(number * 1e9);
    }
}
