namespace PatchLang.Physics;

/// <summary>
/// Conversion between analogue and digital levels. A converter is aligned by the analogue level that corresponds to full scale. 0 dBFS is
/// a full-scale sine (AES17, from memory), so a level in dBu minus the converter's full scale is the level in dBFS.
/// </summary>
public static class Alignment
{
    /// <summary>0 dBFS at +18 dBu: the alignment of EBU R68, with its −18 dBFS at 0 dBu (text read in a secondary source).</summary>
    public const double EbuFullScale = 18;

    /// <summary>0 dBFS at +24 dBu: the alignment of SMPTE RP 155, with its −20 dBFS at +4 dBu (read in a secondary source).</summary>
    public const double SmpteFullScale = 24;

    /// <summary>The level after an analogue-to-digital converter.</summary>
    /// <param name="dbu">The level that arrives, in dBu.</param>
    /// <param name="fullScale">The analogue level of digital full scale at a gain of 0 dB, in dBu.</param>
    /// <param name="gain">The gain before the converter in dB; pads count as negative gain.</param>
    /// <returns>In dBFS; above 0 it clips.</returns>
    public static double ToDigital(double dbu, double fullScale, double gain = 0) => dbu + gain - fullScale;

    /// <summary>The level after a digital-to-analogue converter.</summary>
    /// <param name="dbfs">The level that arrives, in dBFS.</param>
    /// <param name="fullScale">The analogue level of digital full scale, in dBu.</param>
    /// <param name="gain">The gain after the converter in dB.</param>
    /// <returns>In dBu.</returns>
    public static double ToAnalogue(double dbfs, double fullScale, double gain = 0) => dbfs + fullScale + gain;

    /// <summary>
    /// The difference between the full scale of an output and of the input it drives. At +6, a +24 dBu output can drive a +18 dBu
    /// input 6 dB into clipping, so its top 6 dB are unusable; at −6, the top 6 dB of the input are never reached.
    /// </summary>
    /// <param name="output">The output's full scale in dBu.</param>
    /// <param name="input">The input's full scale in dBu.</param>
    /// <param name="gain">The gain between them in dB; pads count as negative gain.</param>
    /// <returns>In dB.</returns>
    public static double Difference(double output, double input, double gain = 0) => output + gain - input;
}
