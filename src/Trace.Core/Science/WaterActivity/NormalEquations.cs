namespace Trace.Core.Science.WaterActivity;

/// <summary>One damped step of least squares: <c>(JᵀJ + λ·diag(JᵀJ))·δ = Jᵀr</c>, with the derivatives by central differences.</summary>
internal static class NormalEquations
{
    /// <returns>The constants moved by δ; null when the equations cannot be solved.</returns>
    public static double[]? Step(
        Func<double[], Func<double, double>> curveOf, double[] constants, IReadOnlyList<SorptionPair> pairs, double damping)
    {
        var count = constants.Length;
        var (matrix, right) = (new double[count, count], new double[count]);
        var curve = curveOf(constants);
        var slopes = Enumerable.Range(0, count).Select(at => Slope(curveOf, constants, at)).ToArray();
        foreach (var pair in pairs)
        {
            var residual = pair.DryBasis - curve(pair.WaterActivity);
            var row = slopes.Select(slope => slope(pair.WaterActivity)).ToArray();
            for (var i = 0; i < count; i++)
            {
                right[i] += row[i] * residual;
                for (var j = 0; j < count; j++) matrix[i, j] += row[i] * row[j];
            }
        }

        for (var i = 0; i < count; i++) matrix[i, i] *= 1 + damping;
        return Solve(matrix, right) is { } change ? [.. constants.Zip(change, (constant, by) => constant + by)] : null;
    }

    /// <summary>The step is one-sided downward where upward would leave the range (K of GAB at 1).</summary>
    private static Func<double, double> Slope(Func<double[], Func<double, double>> curveOf, double[] constants, int at)
    {
        var step = constants[at] * 1e-6;
        var (less, more) = ((double[])constants.Clone(), (double[])constants.Clone());
        less[at] -= step;
        if (constants[at] + step <= 1 || constants[at] > 1) more[at] += step;
        var (below, above, width) = (curveOf(less), curveOf(more), more[at] - less[at]);
        return activity => (above(activity) - below(activity)) / width;
    }

    /// <summary>Gauss with the largest pivot.</summary>
    private static double[]? Solve(double[,] matrix, double[] right)
    {
        var count = right.Length;
        for (var column = 0; column < count; column++)
        {
            var pivot = column;
            for (var row = column + 1; row < count; row++)
            {
                if (Math.Abs(matrix[row, column]) > Math.Abs(matrix[pivot, column])) pivot = row;
            }

            if (!(Math.Abs(matrix[pivot, column]) > 0)) return null;
            for (var j = 0; j < count; j++) (matrix[column, j], matrix[pivot, j]) = (matrix[pivot, j], matrix[column, j]);
            (right[column], right[pivot]) = (right[pivot], right[column]);
            for (var row = 0; row < count; row++)
            {
                if (row == column) continue;
                var factor = matrix[row, column] / matrix[column, column];
                for (var j = column; j < count; j++) matrix[row, j] -= factor * matrix[column, j];
                right[row] -= factor * right[column];
            }
        }

        for (var i = 0; i < count; i++) right[i] /= matrix[i, i];
        return right.All(double.IsFinite) ? right : null;
    }
}
