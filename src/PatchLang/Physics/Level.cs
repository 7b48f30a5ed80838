using System.Globalization;
using PatchLang.Text;

namespace PatchLang.Physics;

/// <summary>The reference of a level.</summary>
public enum LevelReference
{
    /// <summary>0.7746 V, for analogue lines: dBu.</summary>
    Line,

    /// <summary>Digital full scale: dBFS.</summary>
    FullScale,
}

/// <summary>A level: the rms value of a sound at its loudest, as a meter shows it. Its peaks are higher.</summary>
/// <param name="Decibels">In dBu or dBFS.</param>
/// <param name="Reference">The reference.</param>
public readonly record struct Level(double Decibels, LevelReference Reference)
{
    /// <summary>A level in dBu.</summary>
    public static Level Dbu(double decibels) => new(decibels, LevelReference.Line);

    /// <summary>A level below its reference: <c>-46 dBu</c>.</summary>
    public static Level operator -(Level level) => level with { Decibels = -level.Decibels };

    /// <summary>A level above its reference: <c>+4 dBu</c>.</summary>
    public static Level operator +(Level level) => level;

    /// <summary>A level in dBFS.</summary>
    public static Level Dbfs(double decibels) => new(decibels, LevelReference.FullScale);

    /// <summary>The level of a quantity in dBu, dBV or dBFS; null for any other.</summary>
    public static Level? Of(Quantity? quantity) => quantity switch
    {
        { Measure: Measure.LevelDbu } stated => Dbu(stated.Value),
        { Measure: Measure.LevelDbv } stated => Dbu(LineLevel.DbvToDbu(stated.Value)),
        { Measure: Measure.LevelDbfs } stated => Dbfs(stated.Value),
        _ => null,
    };

    /// <summary>Decibels with at most one decimal: <c>-12.5</c>, <c>3</c>.</summary>
    public static string Number(double decibels)
    {
        var rounded = Math.Round(decibels, 1, MidpointRounding.AwayFromZero);
        return (rounded == 0 ? 0 : rounded).ToString("0.#", CultureInfo.InvariantCulture);
    }

    /// <summary>The same with as many decimals as distinguish it from another number, at most three: <c>11.98</c> beside 12.</summary>
    public static string NumberBeside(double decibels, double other)
    {
        for (var figures = 1; figures < 3; figures++)
            if (Math.Round(decibels, figures) != Math.Round(other, figures)) return Math.Round(decibels, figures).ToString("0.###", CultureInfo.InvariantCulture);
        return decibels.ToString("0.###", CultureInfo.InvariantCulture);
    }

    /// <summary>The number with a plus sign if it is above zero: <c>+18</c>.</summary>
    public static string Signed(double decibels) => Number(decibels) is var number && number[0] is not ('-' or '0') ? "+" + number : Number(decibels);

    /// <summary>The level as a plan writes it: <c>+18 dBu</c>, <c>-12 dBFS</c>.</summary>
    public override string ToString() => Reference == LevelReference.Line ? Signed(Decibels) + " dBu" : Signed(Decibels) + " dBFS";
}
