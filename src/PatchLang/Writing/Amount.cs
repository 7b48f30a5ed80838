using System.Globalization;
using System.Numerics;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>A number with its unit, as it will be written: <c>48 kHz</c>, <c>-6 dB</c>, <c>+24 dBu</c>.</summary>
/// <example><c>48.kHz</c>, <c>-6.dB</c>, <c>+24.dBu</c>, <c>0.25.ms</c> (see <see cref="AmountUnits"/>); from data, <c>Amount.Parse("12 m")</c>.</example>
public readonly record struct Amount
{
    private readonly bool hasPlus;

    private Amount(decimal number, string symbol, bool hasPlus)
    {
        Number = number;
        Symbol = symbol;
        this.hasPlus = hasPlus;
    }

    /// <summary>The number, in the unit in which it is written.</summary>
    public decimal Number { get; }

    /// <summary>The unit's symbol: <c>kHz</c>.</summary>
    public string Symbol { get; }

    /// <summary>What it measures.</summary>
    public Measure Measure => Quantity.UnitOf(Symbol).Measure;

    /// <summary>Creates an amount.</summary>
    /// <exception cref="PlanWritingException">There is no such unit, or the number can't be written.</exception>
    public static Amount Of<T>(T number, string symbol)
        where T : INumber<T>
    {
        if (Quantity.UnitOf(symbol).Measure == Measure.None) throw new PlanWritingException($"`{Spelt.OneLine(symbol)}` is no unit");
        if (!T.IsFinite(number)) throw new PlanWritingException($"{number} is no number that can be written");
        try
        {
            return new Amount(decimal.CreateChecked(number), symbol, false);
        }
        catch (OverflowException)
        {
            throw new PlanWritingException($"{number} is no number that can be written: it is too large");
        }
    }

    /// <summary>Parses a number with a unit, as written in a plan.</summary>
    /// <exception cref="PlanWritingException">The text is not a number with a unit.</exception>
    public static Amount Parse(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var rest = text.AsSpan().Trim();
        var sign = rest is ['+' or '-', ..] ? rest[0] : ' ';
        if (sign != ' ') rest = rest[1..].TrimStart();
        var end = 0;
        while (end < rest.Length && (char.IsAsciiDigit(rest[end]) || rest[end] == '.')) end++;
        if (end == 0 || !decimal.TryParse(rest[..end], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var number) || rest[0] == '.' || rest[end - 1] == '.' || end == rest.Length)
            throw new PlanWritingException($"`{Spelt.OneLine(text)}` is no number with a unit, such as `48 kHz`");
        var amount = Of(number, rest[end..].TrimStart().ToString());
        return sign switch { '-' => -amount, '+' => +amount, _ => amount };
    }

    /// <summary>A time as an amount in ms.</summary>
    public static implicit operator Amount(TimeSpan time) => Of((decimal)time.Ticks / TimeSpan.TicksPerMillisecond, "ms");

    /// <summary>A level as an amount in dBu or dBFS.</summary>
    public static implicit operator Amount(Level level) =>
        level.Reference == LevelReference.FullScale ? Of(level.Decibels, "dBFS") : Of(level.Decibels, "dBu") is var amount && level.Decibels > 0 ? +amount : amount;

    /// <summary>The same amount with the opposite sign.</summary>
    public static Amount operator -(Amount amount) => new(-amount.Number, amount.Symbol, false);

    /// <summary>The same amount with its plus sign written, as is usual for levels: <c>+4 dBu</c>.</summary>
    public static Amount operator +(Amount amount) => new(amount.Number, amount.Symbol, true);

    /// <summary>The range from this amount to another in the same unit: <c>0.dB.To(60.dB)</c>.</summary>
    public AmountRange To(Amount high) => new(this, high);

    /// <summary>The amount as written in a plan.</summary>
    public override string ToString() => $"{Signed} {Symbol}";

    internal string Signed => (Number < 0 ? "-" : hasPlus ? "+" : "") + Spelt.Number(Number);

    /// <summary>The amount as written in a plan, where a certain measure is required.</summary>
    internal string As(Measure measure, string what)
    {
        if (Symbol is null) throw new PlanWritingException($"{what} is missing");
        return Measure == measure ? ToString() : throw new PlanWritingException($"{what} is given in {Quantity.SymbolsOf(measure)}, and not as {this}");
    }
}

/// <summary>A range of amounts: <c>0..60 dB</c>, <c>32..48 kHz</c>.</summary>
public readonly record struct AmountRange
{
    /// <param name="low">The low end.</param>
    /// <param name="high">The high end, in the same unit.</param>
    /// <exception cref="PlanWritingException">The units differ.</exception>
    public AmountRange(Amount low, Amount high)
    {
        if (low.Symbol != high.Symbol) throw new PlanWritingException($"a range has one unit, and not {low.Symbol} and {high.Symbol}");
        Low = low;
        High = high;
    }

    /// <summary>The low end.</summary>
    public Amount Low { get; }

    /// <summary>The high end.</summary>
    public Amount High { get; }

    /// <summary>The range that consists of a single amount.</summary>
    public static implicit operator AmountRange(Amount amount) => new(amount, amount);

    /// <summary>The range as written in a plan.</summary>
    public override string ToString() => Low == High ? Low.ToString() : $"{Low.Signed}..{High.Signed} {Low.Symbol}";

    internal string As(Measure measure, string what)
    {
        Low.As(measure, what);
        return ToString();
    }
}
